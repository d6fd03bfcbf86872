"""What a person reads when kit can't be promised: what is missing, who has it, what would do."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rigs.catalogue.models import Item
from rigs.events.clocks import said_length, said_time
from rigs.events.models import Event
from rigs.events.periods import Period
from rigs.events.queries import Holder, Stock, booking_period, free_counts, holders, stock_figures
from rigs.events.similar import stand_ins

ANOTHER_DAY = timedelta(days=330)  # further away than this, the year is said too


class Refused(ValueError):
    """A change that can't be made; its text says why and what to do."""


class Promised(Refused):
    """The kit is not free through the event's time."""

    def __init__(self, *shortages: "Shortage | Sentence") -> None:
        super().__init__(" ".join(shortage.sentence for shortage in shortages))
        self.shortages = shortages


@dataclass(frozen=True)
class Sentence:
    """A reason of its own, with no alternative to offer."""

    sentence: str


@dataclass(frozen=True)
class Offer:
    """So many pieces of another item that are free."""

    item: Item
    free: int
    why: str


@dataclass(frozen=True)
class Shortage:
    """`free` of `wanted` pieces can be had; who has them, and what else would do."""

    event: Event
    item: Item
    wanted: int
    free: int
    stock: Stock
    had_by: Sequence[Holder] = ()
    offers: Sequence[Offer] = field(default_factory=list)

    @property
    def sentence(self) -> str:
        parts = [self.missing, *(self._holding(h) for h in self.had_by), *self._aside()]
        if self.offers:
            offers = ", or ".join(f"{o.free} {o.item} are free ({o.why})" for o in self.offers)
            parts.append(f"Instead: {offers}.")
        return " ".join(parts)

    @property
    def missing(self) -> str:
        if self.stock.owned == 0:
            return f"The company owns no {self.item}."
        more = "more " if self._held_already else ""
        if self.free == 0 and self.wanted == 1:
            return f"No {more}{self.item} is free."
        if self.free == 0:
            return f"None of {self.wanted} {more}{self.item} are free."
        verb = "is" if self.free == 1 else "are"
        return f"Only {self.free} of {self.wanted} {more}{self.item} {verb} free."

    @property
    def _held_already(self) -> int:
        return sum(h.quantity for h in self.had_by if h.event.pk == self.event.pk)

    def _holding(self, holder: Holder) -> str:
        zone = ZoneInfo(self.event.space.venue.zone)
        if holder.event.pk == self.event.pk:
            return f"This kit list has {holder.quantity} already."
        starts = ""
        if holder.event.out_at > self.event.out_at:
            starts = f" from {said_time(holder.event.out_at.astimezone(zone))}"
        until = holder.event.back_at.astimezone(zone)
        return (
            f"{holder.event} has {holder.quantity}{starts} until {self._with_year(until)}"
            f"{_with_test(holder.period, holder.event, zone)}{self._whose_clock(holder)}."
        )

    def _whose_clock(self, holder: Holder) -> str:
        """Said where the other event's own page shows other times."""
        same = holder.event.space.venue.zone == self.event.space.venue.zone
        return "" if same else ", on this event's clock"

    def _with_year(self, moment: datetime) -> str:
        far = abs(moment - self.event.out_at) > ANOTHER_DAY
        return said_time(moment) + (f" {moment.year}" if far else "")

    def _aside(self) -> list[str]:
        aside = self.stock.owned - self.stock.usable
        if self.stock.owned and self.wanted + self._held_already > self.stock.usable:
            tail = f", {aside} of them set aside" if aside else ""
            return [f"The company owns {self.stock.owned}{tail}."]
        return []


def _with_test(period: Period, event: Event, zone: ZoneInfo) -> str:
    test = period.end - event.back_at
    if test <= timedelta(0):
        return ""
    end, back = period.end.astimezone(zone), event.back_at.astimezone(zone)
    when = f"{end:%H:%M}" if end.date() == back.date() else said_time(end)
    return f" (with {said_length(test)} test until {when})"


def shortage(event: Event, item: Item, wanted: int) -> Shortage:
    """Why `wanted` more pieces can't be had, with at most three stand-ins that can.

    Reads the database: call it after the refused change was rolled back.
    """
    stock = stock_figures(event, [item])[item.pk]
    had_by = holders([item], booking_period(event, item)).get(item.pk, [])
    return Shortage(event, item, wanted, stock.free, stock, had_by, offers(event, item, wanted))


def offers(event: Event, item: Item, wanted: int) -> list[Offer]:
    """Stand-ins of which `wanted` pieces are free, closest first, at most three."""
    candidates = stand_ins(item)
    free = free_counts(event, [each.item for each in candidates])
    able = [
        Offer(each.item, free[each.item.pk], each.why)
        for each in candidates
        if free[each.item.pk] >= wanted
    ]
    return able[:3]
