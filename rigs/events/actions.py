"""Every change of events and kit lists, each with its transaction: all of it or nothing.

Locks are taken in one order: the event, its items by rising id (`stock.locks`), then what the
database's own triggers lock. Refusals are `refusals.Refused`, or `Promised` where kit is short.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet

from rigs.catalogue.models import Item, Tracking
from rigs.events.booking import book, promised_now, release
from rigs.events.cancelling import book_again, keep_choices
from rigs.events.models import CountBooking, Event, KitRow, UnitBooking
from rigs.events.refusals import Promised, Refused, Sentence, Shortage
from rigs.people.models import Person
from rigs.stock.locks import lock_items
from rigs.stock.models import Rack, Unit
from rigs.versions import save_over

TIMES = ("out_at", "back_at")


# --- Events --------------------------------------------------------------------------------


@transaction.atomic
def plan_event(person: Person | None, **fields: Any) -> Event:
    """A new event; ValidationError says by field what is wrong."""
    event = Event(changed_by=person, **fields)
    event.full_clean()
    event.save()
    return event


@transaction.atomic
def change_event(event: Event, seen_version: int, person: Person | None, **fields: Any) -> Event:
    """Save new values; with new times all kit is promised anew, or nothing is changed.

    Raises ValidationError, ChangedMeanwhile, or Promised naming everything that clashes.
    """
    stored = Event.objects.select_for_update(of=("self",)).get(pk=event.pk)
    was_state, was_times = stored.state, [getattr(stored, name) for name in TIMES]
    for name, value in fields.items():
        setattr(stored, name, value)
    stored.full_clean()
    _save(stored, seen_version, person)
    was_cancelled = was_state == Event.State.CANCELLED
    if was_cancelled != (stored.state == Event.State.CANCELLED):
        raise ValidationError("Cancel an event, or take it up again, with the button below.")
    if not was_cancelled and was_times != [getattr(stored, name) for name in TIMES]:
        _book_all_anew(stored)
    return stored


@transaction.atomic
def cancel_event(event: Event, person: Person | None) -> Event:
    """Call the event off: its kit is free for others. Its kit list stays to be read, and what
    `take_up_again` needs is kept: the state and the serials that were chosen."""
    stored = _locked(event)
    if stored.state != Event.State.CANCELLED:
        keep_choices(stored)
        _release_all(stored)
        stored.state_before, stored.state = stored.state, Event.State.CANCELLED
        _save(stored, stored.version, person)
    return stored


@transaction.atomic
def take_up_again(event: Event, person: Person | None) -> tuple[Event, list[str]]:
    """A cancelled event as it was before, with sentences about serials it could not have again.

    Raises Promised, and changes nothing, where it can't have as many pieces as it had.
    """
    stored = _locked(event)
    if stored.state != Event.State.CANCELLED:
        return stored, []
    stored.state = stored.state_before or Event.State.PLANNED
    stored.state_before = ""
    _save(stored, stored.version, person)
    return stored, book_again(stored)


def _locked(event: Event) -> Event:
    return Event.objects.select_for_update(of=("self",)).get(pk=event.pk)


def _save(event: Event, seen_version: int, person: Person | None) -> None:
    save_over(event, seen_version, person, event.space.venue.zone)


def _release_all(event: Event) -> None:
    UnitBooking.objects.filter(row__event=event).delete()
    CountBooking.objects.filter(row__event=event).delete()


def _book_all_anew(event: Event) -> None:
    """Promise every row at the event's present times, or raise Promised with all clashes.

    A row that was short before may stay so, but not shorter.
    """
    rows = list(event.kit.select_related("item").order_by("item_id", "pk"))
    lock_items(row.item_id for row in rows)
    held = {row.pk: list(_fit_bookings(row)) for row in rows}
    needed = {row.pk: _fit_pieces(row) for row in rows}
    _release_all(event)
    clashes: list[Shortage | Sentence] = []
    for row in rows:
        row.event = event
        chosen = [b.unit_id for b in held[row.pk] if b.chosen]
        homes = [b.unit_id for b in held[row.pk] if not b.chosen]
        try:
            _book_at_least(row, needed[row.pk], chosen, homes)
        except Promised as clash:
            clashes += clash.shortages
    if clashes:
        raise Promised(*clashes)


def _book_at_least(row: KitRow, needed: int, chosen: list[int], homes: list[int]) -> None:
    """Promise the row in full if that goes, else what it needs."""
    try:
        book(row, row.quantity, chosen, homes)
    except Promised:
        if needed == row.quantity:
            raise
        book(row, needed, chosen, homes)


def _fit_bookings(row: KitRow) -> QuerySet[UnitBooking]:
    """Bookings of units that can go out."""
    return row.unit_bookings.filter(unit__state=Unit.State.READY)


def _fit_pieces(row: KitRow) -> int:
    unfit = row.unit_bookings.count() - _fit_bookings(row).count()
    return promised_now(row) - unfit


# --- Kit lists -----------------------------------------------------------------------------


@transaction.atomic
def put_on_kit(
    event: Event,
    item: Item,
    quantity: int,
    *,
    place: str = KitRow.Place.LINE,
    why: str = "",
    serials: Sequence[str] = (),
    wanted: int | None = None,
) -> KitRow:
    """Add pieces and promise them; a row of the same item and place grows instead of a second.

    `serials` names units that must be among them; the others are any units. `wanted`: how many
    were wished for, if more than can be had: the rest is noted on the row as missing.
    """
    event = _open_event(event)
    if quantity < 1:
        raise Refused("Put at least one piece on the list.")
    lock_items([item.pk])
    row = KitRow.objects.filter(event=event, item=item, place=place).first()
    if row is None:
        row = KitRow(event=event, item=item, place=place, quantity=0)
    row.event, row.item = event, item
    already = list(row.unit_bookings.all()) if row.pk else []
    chosen = [b.unit_id for b in already if b.chosen]
    fresh = [u.pk for u in _units_named(item, serials) if u.pk not in chosen]
    if len(fresh) > quantity:
        raise Refused(f"{len(fresh)} serials are chosen, but the quantity is {quantity}.")
    _grow(row, quantity, wanted or quantity)
    row.why = _both_reasons(row.why, why)
    row.full_clean()
    row.save()
    held = promised_now(row)
    book(row, held + quantity, [*chosen, *fresh], [b.unit_id for b in already if not b.chosen])
    return row


def _grow(row: KitRow, pieces: int, wanted: int) -> None:
    """More pieces for the row; what was noted as missing and comes now is missing no longer."""
    wish = max(row.wanted, row.quantity + wanted)
    row.quantity += pieces
    row.short_by = max(0, wish - row.quantity)


@transaction.atomic
def note_missing(row: KitRow, missing: int) -> KitRow:
    """Say how many more pieces than the row has the event should have; 0: it has enough."""
    row = _open_row(row)
    row.short_by = missing
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def set_quantity(row: KitRow, quantity: int, *, seen: int | None = None) -> KitRow:
    """Promise more pieces, or let some go. `seen`: the quantity that the person had before them."""
    row = _open_row(row)
    if quantity < 1:
        raise Refused("At least one piece; to have none, take the row off.")
    if seen is not None and seen != row.quantity:
        raise Refused(
            f"Somebody set this to {row.quantity} meanwhile. Save again to have {quantity}."
        )
    bookings = list(row.unit_bookings.all())
    chosen = [b.unit_id for b in bookings if b.chosen]
    if quantity < len(chosen):
        raise Refused(
            f"{len(chosen)} units are chosen by serial. Say first which of them stay here."
        )
    lowered = quantity < row.quantity
    row.short_by = 0 if lowered else max(0, row.wanted - quantity)
    row.quantity = quantity
    row.full_clean()
    row.save()
    needed = min(quantity, promised_now(row)) if lowered else quantity
    _book_at_least(row, needed, chosen, [b.unit_id for b in bookings if not b.chosen])
    return row


@transaction.atomic
def choose_units(row: KitRow, serials: Sequence[str]) -> KitRow:
    """Have exactly these serials among the row's pieces; the others are any units."""
    row = _open_row(row)
    units = _units_named(row.item, serials)
    if len(units) > row.quantity:
        raise Refused(
            f"{len(units)} serials are chosen, but the row has {row.quantity}. "
            "Raise the quantity first, or choose fewer."
        )
    bookings = row.unit_bookings.all()
    chosen = [u.pk for u in units]
    homes = [b.unit_id for b in bookings if b.unit_id not in chosen]
    pieces = max(promised_now(row), len(chosen))
    book(row, pieces, chosen, homes)
    return row


@transaction.atomic
def describe_row(row: KitRow, *, place: str, why: str) -> KitRow:
    """Say where on the truck the row travels, and why; it joins a row of the same item there."""
    row = _open_row(row)
    row.why = why
    other = KitRow.objects.filter(event=row.event, item=row.item, place=place).exclude(pk=row.pk)
    target = other.first()
    if target is None:
        row.place = place
        row.full_clean()
        row.save()
        return row
    return _join(row, target)


def _join(row: KitRow, target: KitRow) -> KitRow:
    """Hand everything that `row` has to `target`."""
    target.event, target.item = row.event, row.item
    bookings = [*target.unit_bookings.all(), *row.unit_bookings.all()]
    pieces = promised_now(target) + promised_now(row)
    target.quantity += row.quantity
    target.short_by += row.short_by
    target.why = _both_reasons(target.why, row.why)
    target.full_clean()
    row.delete()
    target.save()
    chosen = [b.unit_id for b in bookings if b.chosen]
    book(target, pieces, chosen, [b.unit_id for b in bookings if not b.chosen])
    return target


@transaction.atomic
def take_off(row: KitRow) -> None:
    """Take a row off the kit list; what it held is free again."""
    event = Event.objects.select_for_update(no_key=True).get(pk=row.event_id)
    lock_items([row.item_id])
    KitRow.objects.filter(pk=row.pk, event=event).delete()


@transaction.atomic
def replace_unit(row: KitRow, unit: Unit) -> KitRow:
    """Give back one unit (set aside, say) and take any other in its place."""
    row = _open_row(row)
    bookings = [b for b in row.unit_bookings.all() if b.unit_id != unit.pk]
    pieces = promised_now(row)
    release(row, [unit.pk])
    chosen = [b.unit_id for b in bookings if b.chosen]
    book(row, pieces, chosen, [b.unit_id for b in bookings if not b.chosen], apart_from=[unit.pk])
    return row


@transaction.atomic
def put_rack_on_kit(event: Event, rack: Rack) -> list[KitRow]:
    """Add a rack as it is wired: every unit in it, by serial, at place "rack"."""
    event = _open_event(event)
    inside = list(rack.units.select_related("item").order_by("item_id", "serial"))
    if not inside:
        raise Refused(f"{rack} is empty.")
    unfit = [u for u in inside if u.state != Unit.State.READY]
    if unfit:
        faults = "; ".join(f"{u} ({u.item}) is {u.state}{_because(u)}" for u in unfit)
        raise Refused(f"{rack} is not ready: {faults}. Mend or swap it, or add its units singly.")
    mine = UnitBooking.objects.filter(row__event=event, row__place=KitRow.Place.RACK, chosen=True)
    have = set(mine.values_list("unit_id", flat=True))
    missing = [u for u in inside if u.pk not in have]
    if not missing:
        raise Refused(f"{rack} is on this kit list already.")
    lock_items({u.item_id for u in missing})
    return [
        put_on_kit(
            event,
            units[0].item,
            len(units),
            place=KitRow.Place.RACK,
            why=rack.name,
            serials=[u.serial for u in units],
        )
        for units in _by_item(missing)
    ]


def _by_item(units: Iterable[Unit]) -> list[list[Unit]]:
    groups: dict[int, list[Unit]] = {}
    for unit in units:
        groups.setdefault(unit.item_id, []).append(unit)
    return list(groups.values())


def _open_event(event: Event) -> Event:
    """The event as stored, locked so that its times stay until the transaction ends."""
    events = Event.objects.select_for_update(no_key=True, of=("self",))
    stored = events.select_related("space__venue").get(pk=event.pk)
    if stored.state == Event.State.CANCELLED:
        raise Refused(f"{stored} is cancelled and holds no kit. Take it up again first.")
    return stored


def _open_row(row: KitRow) -> KitRow:
    event = _open_event(row.event)
    lock_items([row.item_id])
    stored = KitRow.objects.select_related("item").filter(pk=row.pk, event=event).first()
    if stored is None:
        raise Refused(f"Somebody took {row.item} off this list meanwhile. Add it again.")
    stored.event = event
    return stored


def _units_named(item: Item, serials: Sequence[str]) -> list[Unit]:
    """The units behind the serials, or a refusal that names the first that won't do."""
    wanted = list(dict.fromkeys(s.strip() for s in serials if s.strip()))
    if wanted and item.tracking == Tracking.COUNT:
        raise Refused(f"{item} is counted: its pieces have no serials.")
    found = {u.serial: u for u in Unit.objects.filter(item=item, serial__in=wanted)}
    for serial in wanted:
        if serial not in found:
            raise Refused(f"There is no {item} with serial {serial}.")
    return [found[serial] for serial in wanted]


def _because(unit: Unit) -> str:
    return f": {unit.fault}" if unit.fault else ""


def _both_reasons(old: str, new: str) -> str:
    if not new or new in old:
        return old
    return f"{old}; {new}"[:120] if old else new
