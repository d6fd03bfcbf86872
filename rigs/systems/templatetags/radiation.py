"""The bridge by which a data sheet's page shows what `calc` makes of a way's directivity."""

from typing import Any

from django import template

from rigs.catalogue.models import Way
from rigs.catalogue.shown_shape import shown_shape
from rigs.systems.describe.shape import shape_of

register = template.Library()


@register.inclusion_tag("catalogue/_radiation.html", takes_context=True)
def radiation(context: Any, way: Way) -> dict[str, Any]:
    """Directivity index and polars of a way at the bands that the address asks for."""
    shape = shape_of(way)
    asked = context["request"].GET.getlist("band")
    return {"way": way, "shown": shown_shape(way, shape, asked) if shape else None}
