"""One row of a kit list on a page of its own: how many, which serials, where, and why."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django import forms
from django.db import transaction
from django.http import QueryDict

from rigs.catalogue.models import Tracking
from rigs.events import actions
from rigs.events.clocks import said_time
from rigs.events.models import KitRow
from rigs.events.queries import booking_period, bookings_of_item
from rigs.events.refusals import Refused
from rigs.stock.models import Unit


@dataclass(frozen=True)
class UnitChoice:
    """A unit that may be ticked, and what stands against it."""

    unit: Unit
    ticked: bool
    free: bool
    words: str


class RowForm(forms.Form):
    """Saves all of it or nothing."""

    quantity = forms.IntegerField(
        min_value=1,
        max_value=5000,
        error_messages={
            "min_value": "At least one piece; to have none, take the row off.",
            "invalid": "Give a whole number of pieces.",
            "required": "Say how many.",
            "max_value": "More than 5000 is not believable.",
        },
    )
    place = forms.ChoiceField(
        label="Place on the truck", choices=[(p.value, p.value) for p in KitRow.Place]
    )
    why = forms.CharField(
        label="Why it is there",
        required=False,
        max_length=KitRow._meta.get_field("why").max_length,
        help_text="For example: for line Sub left.",
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, row: KitRow, data: QueryDict | None = None) -> None:
        self.row = row
        start = {"quantity": row.quantity, "place": row.place, "why": row.why, "seen": row.quantity}
        super().__init__(data, initial=start)
        self.choices = unit_choices(row, self._ticked(data)) if self.serialised else []
        serials = [(c.unit.serial, c.unit.serial) for c in self.choices]
        self.fields["serials"] = forms.MultipleChoiceField(
            required=False, label="Which units", choices=serials
        )

    @property
    def serialised(self) -> bool:
        return self.row.item.tracking == Tracking.SERIAL

    def _ticked(self, data: QueryDict | None) -> set[str]:
        if data is not None:
            return set(data.getlist("serials"))
        return {b.unit.serial for b in self.row.unit_bookings.all() if b.chosen}

    def save(self) -> KitRow | None:
        """The row as it is now; None where something stands against it, told by the field."""
        was, field = self.row, ""
        try:
            with transaction.atomic():
                for name, change in self._changes():
                    field = name
                    self.row = change()
                return self.row
        except Refused as no:
            self.row = was
            self.add_error(field, str(no))
        return None

    def _changes(self) -> list[tuple[str, Callable[[], KitRow]]]:
        """What to do, by field. Who lowers the quantity lets serials go first."""
        values = self.cleaned_data
        changes: list[tuple[str, Callable[[], KitRow]]] = [
            (
                "quantity",
                lambda: actions.set_quantity(self.row, values["quantity"], seen=values["seen"]),
            )
        ]
        if self.serialised:
            changes.append(("serials", lambda: actions.choose_units(self.row, values["serials"])))
        if values["quantity"] < self.row.quantity:
            changes.reverse()
        place, why = values["place"], values["why"]
        changes.append(("place", lambda: actions.describe_row(self.row, place=place, why=why)))
        return changes


def unit_choices(row: KitRow, ticked: set[str]) -> Sequence[UnitChoice]:
    """All units of the row's item, and for each who has it through the event, in two queries."""
    period = booking_period(row.event, row.item)
    zone = ZoneInfo(row.event.space.venue.zone)
    against: dict[int, str] = {}
    for booking in bookings_of_item(row.item, period.start):
        if booking.row_id == row.pk or booking.period.lower >= period.end:
            continue
        until = said_time(booking.row.event.back_at.astimezone(zone))
        how = "chosen by" if booking.chosen else "any unit for"
        against[booking.unit_id] = f"{how} {booking.row.event}, back {until}"
    units = Unit.objects.filter(item=row.item).exclude(state=Unit.State.GONE)
    return [
        UnitChoice(
            unit=unit,
            ticked=unit.serial in ticked,
            free=unit.state == Unit.State.READY and unit.pk not in against,
            words=_words(unit, against.get(unit.pk, "")),
        )
        for unit in units.select_related("rack").order_by("serial")
    ]


def _words(unit: Unit, against: str) -> str:
    if unit.state != Unit.State.READY:
        return f"{unit.state}: {unit.fault}"
    rack = f"in {unit.rack}" if unit.rack else ""
    return "; ".join(filter(None, [rack, against or "free"]))
