"""Figures of a data sheet as the pages show them: label, value, unit, basis."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import cast

from django.db import models

from rigs.catalogue.models import Sheet

UNIT_WORDS = {"mm2": "mm²", "degrees": "°"}


@dataclass(frozen=True, slots=True)
class ShownFigure:
    """One figure in words. `value` is "unknown" when nobody knows it."""

    label: str
    value: str
    unit: str
    basis: str

    @property
    def known(self) -> bool:
        return self.basis != "unknown"


def is_quantity(field: object) -> bool:
    """Whether a model field holds a figure that may be unknown."""
    return isinstance(field, models.FloatField) and field.null


def quantities(model: type[Sheet]) -> list[models.FloatField]:
    """The figures of a kind of sheet, those of its parents first."""
    return [cast(models.FloatField, f) for f in model._meta.concrete_fields if is_quantity(f)]


def split_unit(verbose_name: str) -> tuple[str, str]:
    """'mass in kg' -> ('mass', 'kg'); a name without a unit keeps ''."""
    label, _, unit = str(verbose_name).rpartition(" in ")
    return (label, UNIT_WORDS.get(unit, unit)) if label else (unit, "")


def shown(sheet: Sheet, name: str) -> ShownFigure:
    """One figure of a sheet by its field's name."""
    field = sheet._meta.get_field(name)
    label, unit = split_unit(str(field.verbose_name))  # type: ignore[union-attr]
    value = getattr(sheet, name)
    if value is None:
        return ShownFigure(label, "unknown", "", "unknown")
    return ShownFigure(label, plain(value), unit, sheet.basis_of(name))


def all_shown(sheet: Sheet) -> Iterator[ShownFigure]:
    """Every figure of a sheet, in the order of its fields."""
    return (shown(sheet, field.name) for field in quantities(type(sheet)))


def plain(value: float) -> str:
    """A number without needless zeros."""
    return f"{value:.6g}"


def hours(span: timedelta) -> str:
    """A time span as hours and minutes: '2:30'."""
    minutes = round(span.total_seconds() / 60)
    return f"{minutes // 60}:{minutes % 60:02}"
