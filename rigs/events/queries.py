"""Named reads of events, kit lists and what is free."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import (
    BigIntegerField,
    Case,
    CharField,
    Count,
    DateTimeField,
    ExpressionWrapper,
    F,
    Func,
    OuterRef,
    Prefetch,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.expressions import CombinedExpression
from django.db.models.functions import Cast, Coalesce, Concat

from rigs.catalogue.models import End, Item, Kind, Tracking
from rigs.events.completion import Gap, Picked, gaps
from rigs.events.models import CountBooking, Event, KitRow, UnitBooking
from rigs.events.periods import Period, with_buffers
from rigs.stock.models import Rack, Unit
from rigs.stock.queries import kind_order

Times = Event | tuple[datetime, datetime]


def booking_period(event: Event, item: Item) -> Period:
    """From when until when the event binds a piece of the item, buffers included."""
    return with_buffers(event.out_at, event.back_at, item)


# --- Events --------------------------------------------------------------------------------


def upcoming_events(now: datetime, *, cancelled: bool = False) -> QuerySet[Event]:
    """Events whose kit is not back yet, soonest first; called-off ones only if asked for."""
    events = Event.objects.filter(back_at__gte=now).select_related("space__venue")
    if not cancelled:
        events = events.exclude(state=Event.State.CANCELLED)
    return events.order_by("out_at", "name")


def past_events(now: datetime) -> QuerySet[Event]:
    """Events whose kit is back, latest first."""
    events = Event.objects.filter(back_at__lt=now).select_related("space__venue")
    return events.order_by("-out_at", "name")


def with_kit_figures(events: QuerySet[Event]) -> QuerySet[Event]:
    """Each event with `pieces` it should have and `promised`, how many of them it really has."""
    units = UnitBooking.objects.filter(row__event=OuterRef("pk"), unit__state=Unit.State.READY)
    counted = CountBooking.objects.filter(row__event=OuterRef("pk"))
    rows = KitRow.objects.filter(event=OuterRef("pk"))
    return events.annotate(
        pieces=_total(rows, Sum(F("quantity") + F("short_by")), "event"),
        promised=_total(units, Count("pk"), "row__event")
        + _total(counted, Sum("quantity"), "row__event"),
    )


def _total(rows: QuerySet, total: Sum | Count, by: str) -> Coalesce:
    grouped = rows.order_by().values(by).annotate(total=total).values("total")
    return Coalesce(Subquery(grouped), 0, output_field=BigIntegerField())


# --- Kit lists -----------------------------------------------------------------------------


def kit_rows(event: Event) -> list[KitRow]:
    """The kit list with items, their ends and bookings, in a constant number of queries."""
    bookings = UnitBooking.objects.select_related("unit__rack").order_by("unit__serial")
    rows = (
        KitRow.objects.filter(event=event)
        .select_related("item__cable", "item__loudspeaker", "count_booking")
        .prefetch_related(Prefetch("unit_bookings", bookings), "item__ends__connector")
        .order_by(kind_order("item__kind"), "item__maker", "item__model")
    )
    return list(rows)


def search_items(words: str, *, limit: int = 10) -> list[Item]:
    """Catalogue items in which every word occurs: in maker, model, kind, role, use or length."""
    parts = (
        F("maker"),
        F("model"),
        F("kind"),
        Coalesce(F("loudspeaker__role"), Value("")),
        Coalesce(F("cable__use"), Value("")),
        Coalesce(Concat(Cast("cable__length_m", CharField()), Value(" m")), Value("")),
    )
    spaced = [piece for part in parts for piece in (part, Value(" "))]
    items = Item.objects.annotate(text=Concat(*spaced, output_field=CharField()))
    for word in words.split():
        items = items.filter(text__icontains=word)
    found = items.select_related("loudspeaker", "cable").order_by(kind_order(), "maker", "model")
    return list(found[:limit])


def items_feeding(connectors: Iterable[int]) -> list[Item]:
    """Cables and accessories that feed any of the connectors, with their ends, short ones first."""
    feeding = Item.objects.filter(
        kind__in=(Kind.CABLE, Kind.ACCESSORY),
        ends__side=End.Side.FEEDS,
        ends__connector__in=list(connectors),
    )
    found = feeding.distinct().select_related("cable").prefetch_related("ends__connector")
    return list(found.order_by(F("cable__length_m").asc(nulls_last=True), "maker", "model"))


def uses_of_connectors(connectors: Iterable[int]) -> dict[int, set[str]]:
    """What cables of the catalogue with each connector are for, by connector id."""
    ends = End.objects.filter(connector__in=list(connectors), item__kind=Kind.CABLE)
    uses: dict[int, set[str]] = defaultdict(set)
    for connector, use in ends.values_list("connector", "item__cable__use").distinct():
        uses[connector].add(use)
    return uses


def connection_gaps(picked: Sequence[Picked]) -> list[Gap]:
    """What is missing to connect what was picked, most binding first."""
    connectors = {connector for each in picked for connector, _ in each.ends}
    return gaps(picked, uses_of_connectors(connectors))


def racks_with_units() -> list[Rack]:
    """All racks that hold something, with their units."""
    inside = Unit.objects.select_related("item").order_by("rack_position", "serial")
    return list(
        Rack.objects.filter(units__isnull=False)
        .distinct()
        .prefetch_related(Prefetch("units", inside))
    )


# --- What is free --------------------------------------------------------------------------


@dataclass(frozen=True)
class Stock:
    """Pieces of an item: owned, usable, and how many more can be promised through a period."""

    owned: int
    usable: int
    free: int


def stock_figures(times: Times, items: Iterable[Item]) -> dict[int, Stock]:
    """Owned, usable and free pieces by item id, in one query.

    `times`: an event, or when the kit goes out and when it is back. Each item's own
    preparation and test are added. Free is the lowest count at any instant, never below zero;
    what the event itself holds already counts as promised.
    """
    out_at, back_at = (times.out_at, times.back_at) if isinstance(times, Event) else times
    units = Unit.objects.filter(item=OuterRef("pk")).exclude(state=Unit.State.GONE)
    ready = units.filter(state=Unit.State.READY)
    pieces = Item.objects.filter(pk__in={item.pk for item in items}).annotate(
        owned=_by_tracking(_total(units, Count("pk"), "item"), F("count__owned")),
        usable=_by_tracking(
            _total(ready, Count("pk"), "item"), F("count__owned") - F("count__set_aside")
        ),
        peak=Func(
            F("pk"),
            _range(out_at, back_at),
            function="promised_peak",
            output_field=BigIntegerField(),
        ),
    )
    return {
        pk: Stock(owned, usable, max(0, usable - peak))
        for pk, owned, usable, peak in pieces.values_list("pk", "owned", "usable", "peak")
    }


def _by_tracking(serialised: Coalesce, counted: F | CombinedExpression) -> Case:
    return Case(
        When(tracking=Tracking.SERIAL, then=serialised),
        default=Coalesce(counted, 0),
        output_field=BigIntegerField(),
    )


def _range(out_at: datetime, back_at: datetime) -> Func:
    stamp = DateTimeField()
    return Func(
        ExpressionWrapper(Value(out_at, stamp) - F("preparation"), stamp),
        ExpressionWrapper(Value(back_at, stamp) + F("turnaround"), stamp),
        function="tstzrange",
    )


def free_counts(times: Times, items: Iterable[Item]) -> dict[int, int]:
    """How many more pieces of each item can be promised through `times` (see stock_figures)."""
    return {pk: stock.free for pk, stock in stock_figures(times, items).items()}


@dataclass(frozen=True)
class Holder:
    """An event that has pieces of an item, and when."""

    event: Event
    quantity: int
    period: Period


def holders(
    items: Collection[Item], within: Period, *, apart_from: Event | None = None
) -> dict[int, list[Holder]]:
    """Who has pieces of each item at any time `within`, by item id, in three queries."""
    of_units = UnitBooking.objects.filter(unit__item__in=items, period__overlap=within.as_range)
    of_counts = CountBooking.objects.filter(item__in=items, period__overlap=within.as_range)
    pieces = [
        *of_units.values("unit__item", "row__event", "period")
        .annotate(pieces=Count("pk"))
        .values_list("unit__item", "row__event", "pieces", "period"),
        *of_counts.values_list("item", "row__event", "quantity", "period"),
    ]
    totals: dict[int, dict[tuple[int, Period], int]] = defaultdict(lambda: defaultdict(int))
    for item_id, event_id, quantity, period in pieces:
        totals[item_id][event_id, Period(period.lower, period.upper)] += quantity
    events = Event.objects.select_related("space__venue").in_bulk({each[1] for each in pieces})
    found: dict[int, list[Holder]] = {}
    for item_id, held in totals.items():
        listed = [Holder(events[e], n, p) for (e, p), n in held.items()]
        if apart_from is not None:
            listed = [h for h in listed if h.event.pk != apart_from.pk]
        found[item_id] = sorted(listed, key=lambda h: (h.period.start, h.event.name))
    return found


def bookings_of_item(item: Item, not_before: datetime) -> Sequence[UnitBooking]:
    """Bookings of the item's units that end after `not_before`."""
    bookings = UnitBooking.objects.filter(unit__item=item, period__endswith__gt=not_before)
    return list(bookings.select_related("unit", "row__event").order_by("pk"))
