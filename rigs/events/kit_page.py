"""Everything that the kit list's page shows, read in a number of queries that never grows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from rigs.catalogue.models import Item, Kind
from rigs.events.clocks import clock_notes
from rigs.events.completion import (
    MISSING,
    Gap,
    Picked,
    TruckLoad,
    open_starts,
    picked_from,
    truck_load,
)
from rigs.events.models import Event, KitRow
from rigs.events.periods import Period
from rigs.events.quantities import fault_of, quantity_in
from rigs.events.queries import (
    Stock,
    booking_period,
    connection_gaps,
    holders,
    items_feeding,
    kit_rows,
    racks_with_units,
    search_items,
    stock_figures,
)
from rigs.events.refusals import Shortage
from rigs.events.timeline import Timeline, timeline
from rigs.stock.models import Rack, Unit

PLACE_OF_KIND = {
    Kind.AMPLIFIER: KitRow.Place.RACK,
    Kind.PROCESSOR: KitRow.Place.RACK,
    Kind.LOUDSPEAKER: KitRow.Place.LINE,
    Kind.CABLE: KitRow.Place.LINE,
    Kind.MIXER: KitRow.Place.STAGE,
    Kind.ACCESSORY: KitRow.Place.STAGE,
}
MOST_PROPOSALS = 4


@dataclass(frozen=True)
class Tap:
    """A button: what it says, and what it sends."""

    label: str
    value: str
    name: str = "tap"


@dataclass(frozen=True)
class Fault:
    """What is wrong with one field, and what would do instead."""

    sentence: str
    taps: Sequence[Tap] = ()


@dataclass
class Typed:
    """What the person had typed, by field name, and what was wrong with it."""

    values: Mapping[str, str] = field(default_factory=dict)
    faults: dict[str, Fault] = field(default_factory=dict)

    def value(self, name: str, default: object) -> str:
        return self.values.get(name, str(default))


@dataclass(frozen=True)
class ShownRow:
    """One row of the list."""

    row: KitRow
    typed: str
    fault: Fault | None
    units: str
    missing: int
    shortage: Fault | None
    unfit: list[Unit]

    @property
    def key(self) -> str:
        return str(self.row.pk)


@dataclass(frozen=True)
class Result:
    """One catalogue item that was found."""

    item: Item
    facts: str
    stock: Stock
    typed: str
    place: str
    fault: Fault | None

    @property
    def key(self) -> str:
        return str(self.item.pk)


@dataclass(frozen=True)
class OpenEnd:
    """A gap, and cables of which there are enough to close it."""

    gap: Gap
    taps: list[Tap]


@dataclass
class KitPage:
    """The page as the template reads it."""

    event: Event
    q: str
    groups: list[tuple[str, list[ShownRow]]]
    load: TruckLoad
    open_ends: list[OpenEnd]
    shortages: int
    racks: list[Rack]
    results: list[Result]
    number_fault: str
    drawing: Timeline | None
    typed: Typed
    clock_notes: list[str]

    @property
    def missing(self) -> int:
        """How many ends are open, those that come from elsewhere left out."""
        return sum(end.gap.count for end in self.open_ends if end.gap.state == MISSING)


def kit_page(
    event: Event, q: str = "", shown: int | None = None, typed: Typed | None = None
) -> KitPage:
    """Read the page. `q`: what is searched for; `shown`: the item whose timeline is drawn."""
    typed = typed or Typed()
    rows = kit_rows(event)
    picked = picked_from(rows)
    found = results(event, q, typed)
    short = _shortages(event, rows)
    return KitPage(
        event=event,
        q=q,
        groups=_groups(rows, short, typed),
        load=truck_load(rows),
        open_ends=_open_ends(event, picked),
        shortages=sum(_missing(row) for row in rows),
        racks=_racks_not_on(rows),
        results=found,
        number_fault=fault_of(quantity_in(q)[0]),
        drawing=drawing(event, shown, found),
        typed=typed,
        clock_notes=event_clock_notes(event),
    )


def event_clock_notes(event: Event) -> list[str]:
    return clock_notes(ZoneInfo(event.space.venue.zone), event.out_at, event.back_at)


# --- Left: the list ------------------------------------------------------------------------


def _missing(row: KitRow) -> int:
    fit = sum(b.unit.state == Unit.State.READY for b in row.unit_bookings.all())
    promised = fit if row.unit_bookings.all() else row.pieces_promised
    return max(0, row.wanted - promised)


def _groups(
    rows: Sequence[KitRow], short: dict[int, Fault], typed: Typed
) -> list[tuple[str, list[ShownRow]]]:
    groups = []
    for place in KitRow.Place:
        inside = [_shown(row, short.get(row.pk), typed) for row in rows if row.place == place]
        if inside:
            groups.append((str(place.value), inside))
    return groups


def _shown(row: KitRow, shortage: Fault | None, typed: Typed) -> ShownRow:
    bookings = row.unit_bookings.all()
    chosen = [b.unit.serial for b in bookings if b.chosen]
    loose = row.quantity - len(chosen)
    name = f"quantity-{row.pk}"
    return ShownRow(
        row=row,
        typed=typed.value(name, row.quantity),
        fault=typed.faults.get(name),
        units=", ".join(chosen + ([f"{loose} any" if chosen else "any"] if loose else [])),
        missing=_missing(row),
        shortage=shortage,
        unfit=[b.unit for b in bookings if b.unit.state != Unit.State.READY],
    )


def _shortages(event: Event, rows: Sequence[KitRow]) -> dict[int, Fault]:
    """Why rows that have less than they should have it, and what to do, by row id."""
    short = [row for row in rows if row.pieces_promised < row.wanted]
    if not short or event.state == Event.State.CANCELLED:
        return {}
    items = {row.item_id: row.item for row in short}
    periods = {pk: booking_period(event, item) for pk, item in items.items()}
    widest = Period(min(p.start for p in periods.values()), max(p.end for p in periods.values()))
    held = holders(list(items.values()), widest)
    figures = stock_figures(event, items.values())
    return {
        row.pk: _way_out(
            row,
            Shortage(
                event,
                row.item,
                row.wanted - row.pieces_promised,
                figures[row.item_id].free,
                figures[row.item_id],
                [h for h in held.get(row.item_id, []) if h.period.overlaps(periods[row.item_id])],
            ),
        )
        for row in short
    }


def _way_out(row: KitRow, short: Shortage) -> Fault:
    """Pieces noted as missing can be had as soon as they are free, or given up."""
    if not row.short_by:
        return Fault(short.sentence)
    sentence, taps = short.sentence, []
    if short.free:
        count = min(short.free, row.short_by)
        is_free = "is" if count == 1 else "are"
        if short.free >= short.wanted:
            sentence = f"{count} more {row.item} {is_free} free now."
        taps.append(
            Tap(f"Take the {count} that {is_free} free", f"{row.item_id}:{count}:{row.place}")
        )
    enough = "is" if row.quantity == 1 else "are"
    taps.append(Tap(f"{row.quantity} {enough} enough", f"{row.pk}:0", "miss"))
    return Fault(sentence, taps)


def _racks_not_on(rows: Sequence[KitRow]) -> list[Rack]:
    here = {b.unit_id for row in rows for b in row.unit_bookings.all() if b.chosen}
    racks = racks_with_units()
    return [rack for rack in racks if not {u.pk for u in rack.units.all()} <= here]


# --- Bottom: what is missing to connect ----------------------------------------------------


def _open_ends(event: Event, picked: Sequence[Picked]) -> list[OpenEnd]:
    open_gaps = connection_gaps(picked)
    wanted = {gap.connector.pk for gap in open_gaps if gap.state == MISSING}
    candidates = items_feeding(wanted) if wanted else []
    free = {pk: s.free for pk, s in stock_figures(event, candidates).items()} if candidates else {}
    starts, here = open_starts(picked), {p.item.pk for p in picked}
    return [
        OpenEnd(gap, _taps(gap, candidates, free, starts, here) if gap.state == MISSING else [])
        for gap in open_gaps
    ]


def _taps(
    gap: Gap,
    candidates: Sequence[Item],
    free: Mapping[int, int],
    starts: set[int],
    here: set[int],
) -> list[Tap]:
    """Cables that would close the gap, those in use on the list first."""
    able = []
    for item in candidates:
        ends = item.ends.all()
        fits = any(e.connector_id == gap.connector.pk and e.side == "feeds" for e in ends)
        takes = [e.connector_id for e in ends if e.side == "takes"]
        can_start = not takes or item.kind == Kind.CABLE or any(c in starts for c in takes)
        if fits and can_start and free[item.pk] > 0:
            startable = any(c in starts for c in takes)
            able.append((not startable, item.pk not in here, free[item.pk] < gap.count, item))
    able.sort(key=lambda each: each[:3])
    return [_tap(item, min(gap.count, free[item.pk])) for *_, item in able[:MOST_PROPOSALS]]


def _tap(item: Item, count: int) -> Tap:
    what = str(item)
    if item.kind == Kind.CABLE and item.cable.length_m:
        length = f"{item.cable.length_m:g} m"
        what += "" if what.endswith(length) else f", {length}"
    return Tap(f"Add {count} x {what}", f"{item.pk}:{count}")


# --- Right: search and timeline ------------------------------------------------------------


def results(event: Event, q: str, typed: Typed | None = None) -> list[Result]:
    """What the search finds, with what is free through the event; also what was just refused."""
    typed = typed or Typed()
    quantity, words = quantity_in(q)
    items = search_items(words) if words else []
    refused = [name.removeprefix("new-") for name in typed.faults if name.startswith("new-")]
    there = {str(item.pk) for item in items}
    missing = Item.objects.filter(pk__in=[r for r in refused if r.isdigit() and r not in there])
    items = [*missing.select_related("loudspeaker", "cable"), *items]
    figures = stock_figures(event, items) if items else {}
    return [
        Result(
            item=item,
            facts=facts(item),
            stock=figures[item.pk],
            typed=typed.value(f"new-{item.pk}", quantity),
            place=typed.value(f"place-{item.pk}", PLACE_OF_KIND[Kind(item.kind)].value),
            fault=typed.faults.get(f"new-{item.pk}"),
        )
        for item in items
    ]


def facts(item: Item) -> str:
    """Kind and what tells items of it apart."""
    parts: list[str] = [item.kind]
    if item.kind == Kind.LOUDSPEAKER:
        parts = [item.loudspeaker.role]
    if item.kind == Kind.CABLE:
        length = item.cable.length_m
        parts = [f"{item.cable.use} cable", f"{length:g} m" if length else "length unknown"]
    if item.mass_kg:
        parts.append(f"{item.mass_kg:g} kg")
    return ", ".join(parts)


def drawing(event: Event, shown: int | None, found: Sequence[Result]) -> Timeline | None:
    """The timeline of the item asked for, else of the first one found."""
    item = Item.objects.filter(pk=shown).first() if shown else None
    if item is None and found:
        item = found[0].item
    return timeline(event, item) if item else None
