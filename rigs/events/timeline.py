"""Who has an item around an event, and how many are free from when to when: data for a drawing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rigs.catalogue.models import Item
from rigs.events.clocks import said_day, said_time
from rigs.events.models import Event
from rigs.events.periods import Period
from rigs.events.queries import Holder, Stock, booking_period, holders, stock_figures

WIDTH, LANE, TOP = 600, 26, 24  # units of the drawing
MOST_LANES = 10
LEAST_MARGIN = timedelta(hours=18)
MOST_DAYS = 12  # more day names than that would run into each other


@dataclass(frozen=True)
class Bar:
    """One event's pieces, as drawn."""

    name: str
    quantity: int
    own: bool
    x: float
    width: float
    y: float
    words: str

    @property
    def text_x(self) -> float:
        """Where the name starts: in the bar, or before the right edge runs out."""
        return min(self.x + 6, WIDTH - 150)


@dataclass(frozen=True)
class Interval:
    """So many pieces are free from `x` on for `width`."""

    free: int
    x: float
    width: float
    inside: bool
    words: str

    @property
    def middle(self) -> float:
        return round(self.x + self.width / 2, 1)


@dataclass(frozen=True)
class Timeline:
    """A drawing of WIDTH by `height`, and the same in words."""

    item: Item
    stock: Stock
    bars: list[Bar]
    intervals: list[Interval]
    days: list[tuple[float, str]]
    x: float
    width: float
    left_out: int

    view_width: int = WIDTH
    lane: int = LANE

    @property
    def floor(self) -> int:
        """Where the strip of free counts starts."""
        return TOP + LANE * max(1, len(self.bars))

    @property
    def height(self) -> int:
        return self.floor + LANE + 4


def timeline(event: Event, item: Item) -> Timeline:
    """Bookings of the item around the event's own period, in four queries."""
    own = booking_period(event, item)
    margin = max(LEAST_MARGIN, (own.end - own.start) / 4)
    window = Period(own.start - margin, own.end + margin)
    held = holders([item], window).get(item.pk, [])
    stock = stock_figures(event, [item])[item.pk]
    zone = ZoneInfo(event.space.venue.zone)
    scale = _Scale(window, zone)
    shown = _most_telling(held, event, own)
    return Timeline(
        item=item,
        stock=stock,
        bars=[_bar(holder, lane, event, scale) for lane, holder in enumerate(shown)],
        intervals=_intervals(held, stock.usable, own, scale),
        days=scale.days(),
        x=scale.x(own.start),
        width=scale.x(own.end) - scale.x(own.start),
        left_out=len(held) - len(shown),
    )


def _most_telling(held: Sequence[Holder], event: Event, own: Period) -> list[Holder]:
    """At most MOST_LANES: the event itself, then those that overlap it, then neighbours."""
    ranked = sorted(
        held, key=lambda h: (h.event.pk != event.pk, not h.period.overlaps(own), h.period.start)
    )
    return sorted(ranked[:MOST_LANES], key=lambda h: (h.period.start, h.event.name))


class _Scale:
    """From instants to the drawing's units."""

    def __init__(self, window: Period, zone: ZoneInfo) -> None:
        self.window, self.zone = window, zone

    def x(self, moment: datetime) -> float:
        part = (moment - self.window.start) / (self.window.end - self.window.start)
        return round(min(1.0, max(0.0, part)) * WIDTH, 1)

    def said(self, moment: datetime) -> str:
        return said_time(moment.astimezone(self.zone))

    def days(self) -> list[tuple[float, str]]:
        """Local midnights, thinned out where there are many."""
        first = self.window.start.astimezone(self.zone).date()
        last = self.window.end.astimezone(self.zone).date()
        count = (last - first).days
        step = max(1, -(-count // MOST_DAYS))
        days = [first + timedelta(days=n) for n in range(1, count + 1, step)]
        midnights = [datetime(d.year, d.month, d.day, tzinfo=self.zone) for d in days]
        return [(self.x(m), said_day(m)) for m in midnights if self.x(m) < WIDTH - 40]


def _bar(holder: Holder, lane: int, event: Event, scale: _Scale) -> Bar:
    start, end = scale.x(holder.period.start), scale.x(holder.period.end)
    times = f"{scale.said(holder.period.start)} to {scale.said(holder.period.end)}"
    return Bar(
        name=str(holder.event),
        quantity=holder.quantity,
        own=holder.event.pk == event.pk,
        x=start,
        width=max(2.0, round(end - start, 1)),
        y=TOP + lane * LANE,
        words=f"{holder.event}: {holder.quantity} from {times}",
    )


def _intervals(held: Sequence[Holder], usable: int, own: Period, scale: _Scale) -> list[Interval]:
    window = scale.window
    edges = {window.start, window.end, own.start, own.end}
    edges |= {t for h in held for t in h.period if window.start < t < window.end}
    found: list[Interval] = []
    for start, end in zip(sorted(edges), sorted(edges)[1:], strict=False):
        promised = sum(h.quantity for h in held if h.period.start <= start < h.period.end)
        found.append(
            Interval(
                free=usable - promised,
                x=scale.x(start),
                width=round(scale.x(end) - scale.x(start), 1),
                inside=own.start <= start < own.end,
                words=f"{scale.said(start)} to {scale.said(end)}",
            )
        )
    return found
