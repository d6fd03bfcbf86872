"""Named reads of the catalogue."""

from collections.abc import Iterable
from typing import cast

from django.db.models import Case, Count, F, IntegerField, Q, QuerySet, Value, When

from rigs.catalogue.models import (
    Accessory,
    Amplifier,
    Cable,
    Item,
    Kind,
    Loudspeaker,
    Mixer,
    Processor,
    Tracking,
)

CLASS_OF_KIND: dict[str, type[Item]] = {
    Kind.LOUDSPEAKER: Loudspeaker,
    Kind.AMPLIFIER: Amplifier,
    Kind.CABLE: Cable,
    Kind.PROCESSOR: Processor,
    Kind.MIXER: Mixer,
    Kind.ACCESSORY: Accessory,
}


KIND_ORDER = Case(
    *(When(kind=kind, then=Value(place)) for place, kind in enumerate(Kind.values)),
    output_field=IntegerField(),
)


def listed_items(search: str = "", kind: str = "") -> QuerySet[Item]:
    """Items with their own kind's row and how many are owned, in one query."""
    items = (
        Item.objects.select_related(*CLASS_OF_KIND)
        .annotate(
            units_owned=Count("units", filter=~Q(units__state="gone"), distinct=True),
            counted=F("count__owned"),
        )
        .order_by(KIND_ORDER, "maker", "model")
    )
    if kind in CLASS_OF_KIND:
        items = items.filter(kind=kind)
    for word in search.split():
        items = items.filter(
            Q(maker__icontains=word) | Q(model__icontains=word) | Q(notes__icontains=word)
        )
    return items


def owned(item: Item) -> int:
    """Pieces owned of an item that came from `listed_items`."""
    if item.tracking == Tracking.SERIAL:
        return item.units_owned  # type: ignore[attr-defined]
    return item.counted or 0  # type: ignore[attr-defined]


def own_kind(item: Item) -> Item:
    """The item as its own kind: a loudspeaker, a cable ..."""
    return cast(Item, getattr(item, item.kind))


def whole_item(pk: int) -> Item:
    """One item as its own kind, annotated as in `listed_items`. Raises `Item.DoesNotExist`."""
    listed = listed_items().get(pk=pk)
    item = own_kind(listed)
    item.pieces_owned = owned(listed)  # type: ignore[attr-defined]
    return item


def in_short(item: Item) -> str:
    """What one looks for first, in a few words; needs no further query."""
    own = own_kind(item)
    match own:
        case Loudspeaker():
            return str(own.role)
        case Amplifier():
            return f"{own.channels} channels, {own.rack_units} rack units"
        case Cable():
            return ", ".join(_cable_words(own))
        case Processor():
            return f"{own.inputs} in, {own.outputs} out"
        case Mixer() if own.max_output_dbu is not None:
            return f"output up to {own.max_output_dbu:g} dBu"
        case Accessory() if own.carries_kg is not None:
            return f"carries {own.carries_kg:g} kg"
    return ""


def _cable_words(cable: Cable) -> Iterable[str]:
    yield str(cable.use)
    yield "length unknown" if cable.length_m is None else f"{cable.length_m:g} m"
    pairs = 2 * cable.pole_pairs
    if cable.use == Cable.Use.LOUDSPEAKER:
        area = "area unknown" if cable.area_mm2 is None else f"{cable.area_mm2:.3g} mm²"
        yield f"{pairs} x {area}"
