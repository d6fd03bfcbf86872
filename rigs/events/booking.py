"""Promising one kit row: finds the units or pieces and writes the bookings.

Only `actions` calls this, inside its transaction and after its locks.
"""

from collections.abc import Collection, Hashable, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from rigs.catalogue.models import Tracking
from rigs.events.allocation import Request, allocate
from rigs.events.clocks import said_time
from rigs.events.models import CountBooking, KitRow, UnitBooking
from rigs.events.periods import Period
from rigs.events.queries import booking_period, bookings_of_item, free_counts
from rigs.events.refusals import Promised, Refused, Sentence, shortage
from rigs.stock.models import Unit

OURS = ("count_limit", "unit_booked_once")


def book(
    row: KitRow,
    pieces: int,
    chosen: Sequence[int] = (),
    homes: Sequence[int] = (),
    *,
    apart_from: Collection[int] = (),
) -> None:
    """Have exactly `pieces` promised to the row at its event's times, or raise Promised.

    `chosen`: ids of units that must be among them. `homes`: units to keep if possible.
    """
    added = pieces - promised_now(row)
    try:
        with transaction.atomic():
            if row.item.tracking == Tracking.COUNT:
                _book_count(row, pieces)
            else:
                _Serialised(row, pieces, chosen, homes, apart_from).book()
    except IntegrityError as refused:
        # The database has the last word, whatever this code believed to be free.
        if _constraint(refused) not in OURS:
            raise
        raise Promised(shortage(row.event, row.item, max(added, 1))) from refused


def promised_now(row: KitRow) -> int:
    """Pieces promised to the row, asked of the database anew."""
    if row.pk is None:
        return 0
    units = row.unit_bookings.order_by().count()
    counted = CountBooking.objects.filter(row=row).values_list("quantity", flat=True)
    return units + sum(counted)


def release(row: KitRow, units: Collection[int]) -> None:
    """Give back units of the row."""
    row.unit_bookings.filter(unit__in=units).delete()


def _constraint(error: IntegrityError) -> str | None:
    diagnosis = getattr(error.__cause__, "diag", None)
    return diagnosis.constraint_name if diagnosis else None


def _book_count(row: KitRow, pieces: int) -> None:
    _refuse_above_free(row, pieces - promised_now(row))
    if pieces == 0:
        CountBooking.objects.filter(row=row).delete()
        return
    period = booking_period(row.event, row.item).as_range
    values = {"item": row.item, "quantity": pieces, "period": period}
    CountBooking.objects.update_or_create(row=row, defaults=values)


def _refuse_above_free(row: KitRow, added: int) -> None:
    if added > 0 and added > free_counts(row.event, [row.item])[row.item_id]:
        raise Promised(shortage(row.event, row.item, added))


@dataclass
class _Serialised:
    """One attempt to find units for a row."""

    row: KitRow
    pieces: int
    chosen: Sequence[int]
    homes: Sequence[int]
    apart_from: Collection[int]

    def book(self) -> None:
        self.now = timezone.now()
        self.period = booking_period(self.row.event, self.row.item)
        self.units = {u.pk: u for u in Unit.objects.filter(item=self.row.item)}
        self.own = list(self.row.unit_bookings.all())
        _refuse_above_free(self.row, self.pieces - len(self.own))
        self._refuse_unfit()
        since = min(self.now, self.period.start)
        bookings = bookings_of_item(self.row.item, since)
        self.others = [b for b in bookings if b.row_id != self.row.pk]
        found = (
            self._find(moving=False)
            or self._find(moving=True)
            or self._find(moving=True, keep_unfit=True)
        )
        if found is None:
            raise Promised(*self._why_not())
        self._write(found)

    def _refuse_unfit(self) -> None:
        """A unit that is not ready may be kept by who had it, but nobody gets it anew."""
        kept = {b.unit_id for b in self.own}
        for pk in self.chosen:
            unit = self.units[pk]
            if unit.state != Unit.State.READY and pk not in kept:
                reason = f": {unit.fault}" if unit.fault else ""
                raise Refused(f"{unit} is {unit.state}{reason}. Choose another.")

    def _find(self, *, moving: bool, keep_unfit: bool = False) -> dict[Hashable, int] | None:
        movable = [b for b in self.others if moving and self._may_move(b)]
        staying = [b for b in self.others if b not in movable]
        moves = [Request(b.pk, _period(b), home=b.unit_id) for b in movable]
        return allocate(
            [*self._wishes(keep_unfit), *moves],
            [pk for pk in sorted(self.units, key=self._serial) if self._ready(pk)],
            [(b.unit_id, _period(b)) for b in staying],
            {pk for pk, unit in self.units.items() if unit.rack_id is not None},
        )

    def _wishes(self, keep_unfit: bool) -> list[Request]:
        """What the row itself asks for; a unit set aside since is kept only as the last resort."""
        wishes = [Request(("chosen", pk), self.period, unit=pk) for pk in self.chosen]
        loose = self.pieces - len(self.chosen)
        homes: list[int | None] = [pk for pk in self.homes if self._ready(pk)]
        unfit = [pk for pk in self.homes if not self._ready(pk) and pk not in self.apart_from]
        stuck = unfit[: max(0, loose - len(homes))] if keep_unfit else []
        wishes += [Request(("any", -n), self.period, unit=pk) for n, pk in enumerate(stuck, 1)]
        homes += [None] * loose
        wishes += [
            Request(("any", n), self.period, home=homes[n]) for n in range(loose - len(stuck))
        ]
        return wishes

    def _ready(self, pk: int) -> bool:
        return self.units[pk].state == Unit.State.READY and pk not in self.apart_from

    def _serial(self, pk: int) -> str:
        return self.units[pk].serial

    def _may_move(self, booking: UnitBooking) -> bool:
        leaves_later = booking.row.event.out_at > self.now
        return not booking.chosen and leaves_later and self._ready(booking.unit_id)

    def _write(self, found: dict[Hashable, int]) -> None:
        moved = [b for b in self.others if found.get(b.pk, b.unit_id) != b.unit_id]
        for booking in moved:
            booking.unit_id = found[booking.pk]
        mine = {unit: key[0] == "chosen" for key, unit in found.items() if isinstance(key, tuple)}
        release(self.row, [b.unit_id for b in self.own if b.unit_id not in mine])
        kept = [b for b in self.own if b.unit_id in mine]
        for booking in kept:
            booking.chosen, booking.period = mine[booking.unit_id], self.period.as_range
        with _judged_at_the_end():
            UnitBooking.objects.bulk_update(moved, ["unit"])
            UnitBooking.objects.bulk_update(kept, ["chosen", "period"])
            UnitBooking.objects.bulk_create(
                UnitBooking(row=self.row, unit_id=pk, period=self.period.as_range, chosen=is_chosen)
                for pk, is_chosen in mine.items()
                if pk not in {b.unit_id for b in kept}
            )

    def _why_not(self) -> list[Sentence]:
        """Every instant has enough units, but none can be had for the whole time."""
        blocked = [
            Sentence(self._blocked(booking))
            for booking in self.others
            if booking.unit_id in self.chosen and _period(booking).overlaps(self.period)
        ]
        return blocked or [
            Sentence(
                f"{self.row.item}: no exchange between events frees the same unit for the whole "
                "time, since others are chosen by serial or out already. Have fewer, or ask the "
                "other events to take any unit."
            )
        ]

    def _blocked(self, booking: UnitBooking) -> str:
        event = booking.row.event
        if event == self.row.event:
            return f"{booking.unit} is on this kit list already, at place {booking.row.place}."
        zone = ZoneInfo(self.row.event.space.venue.zone)
        back = said_time(event.back_at.astimezone(zone))
        free = said_time(_period(booking).end.astimezone(zone))
        return f"{booking.unit} is with {event} until {back} and free again {free}."


def _period(booking: UnitBooking) -> Period:
    return Period(booking.period.lower, booking.period.upper)


class _judged_at_the_end:  # noqa: N801
    """Let the database compare periods once, after units were exchanged."""

    def __enter__(self) -> None:
        self._set("DEFERRED")

    def __exit__(self, error: object, *_: object) -> None:
        if error is None:
            self._set("IMMEDIATE")

    def _set(self, mode: str) -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"SET CONSTRAINTS unit_booked_once {mode}")
