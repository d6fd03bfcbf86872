"""What is missing to connect what was picked, and what it all weighs. Plain functions.

A connection needs an end that feeds and an end that takes. Cables, and adaptors (one end each
of two kinds), run between equipment: they feed what equipment takes, and start where equipment
feeds. Direct connectors (a pole in its socket) mate equipment with equipment.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from rigs.catalogue.models import Cable, Connector, End, Item, Kind
from rigs.events.models import KitRow
from rigs.stock.models import Rack

LIFT_ALONE_KG = 25  # common practice, no source; local rules decide

MISSING = "missing"  # has to be added
ELSEWHERE = "elsewhere"  # has to come from outside this list
ASK = "ask"  # missing only if it is set up that way

TAKES, FEEDS = End.Side.TAKES, End.Side.FEEDS


@dataclass(frozen=True)
class Picked:
    """So many pieces of one item, with its ends as {(connector id, side): count of one piece}."""

    item: Item
    quantity: int
    ends: dict[tuple[int, str], int]

    @property
    def runs_between(self) -> bool:
        """A cable, or an adaptor: one end of one kind in, one of another out."""
        if self.item.kind == Kind.CABLE:
            return True
        takes = [(c, n) for (c, side), n in self.ends.items() if side == TAKES]
        feeds = [(c, n) for (c, side), n in self.ends.items() if side == FEEDS]
        one_each = [n for _, n in takes + feeds] == [1, 1] and len(takes) == 1
        return self.item.kind == Kind.ACCESSORY and one_each and takes != feeds

    def count(self, connector: int, side: str) -> int:
        return self.quantity * self.ends.get((connector, side), 0)


@dataclass(frozen=True)
class Gap:
    """Ends of one connector that find no other end."""

    connector: Connector
    count: int
    state: str
    sentence: str


def picked_from(rows: Iterable[KitRow]) -> list[Picked]:
    """The rows that are meant to be connected (spares are not), items added up."""
    quantities: Counter[int] = Counter()
    items: dict[int, Item] = {}
    for row in rows:
        if row.place != KitRow.Place.SPARE:
            quantities[row.item_id] += row.quantity
            items[row.item_id] = row.item
    return [
        Picked(
            item,
            quantities[pk],
            {(end.connector_id, end.side): end.count for end in item.ends.all()},
        )
        for pk, item in items.items()
    ]


Uses = Mapping[int, Collection[str]]


def gaps(picked: Sequence[Picked], uses: Uses) -> list[Gap]:
    """What is missing to connect everything, most binding first.

    `uses`: what cables with each connector are for, by connector id.
    """
    connectors = {
        end.connector_id: end.connector for each in picked for end in each.item.ends.all()
    }
    between = [p for p in picked if p.runs_between]
    kit = [p for p in picked if not p.runs_between]
    found: list[Gap] = []
    idle = _idle(kit, between, list(connectors))
    for connector in sorted(connectors.values(), key=lambda c: c.name):
        if connector.direct:
            found += _direct_gaps(connector, picked)
        else:
            of_cables = set(uses.get(connector.pk, ()))
            found += _cable_gaps(connector, kit, between, of_cables)
            found += _start_gaps(connector, kit, between, idle, of_cables)
    order = [MISSING, ELSEWHERE, ASK]
    return sorted(found, key=lambda gap: order.index(gap.state))


def open_starts(picked: Sequence[Picked]) -> set[int]:
    """Ids of connectors at which something on the list can still feed a cable."""
    between = [p for p in picked if p.runs_between]
    kit = [p for p in picked if not p.runs_between]
    ids = {connector for p in picked for connector, _ in p.ends}
    return {c for c in ids if _sum(kit, c, FEEDS) + _spare_feeds(c, kit, between) > 0}


def _sum(picked: Iterable[Picked], connector: int, side: str) -> int:
    return sum(p.count(connector, side) for p in picked)


def _spare_feeds(connector: int, kit: Sequence[Picked], between: Sequence[Picked]) -> int:
    """Feeding cable ends that no equipment takes: the next cable may start there."""
    return max(0, _sum(between, connector, FEEDS) - _sum(kit, connector, TAKES))


def _lacking_starts(
    connector: int, kit: Sequence[Picked], between: Sequence[Picked], idle: Counter[int]
) -> int:
    """Cable ends that find nothing to start from, cables that need not be used left out."""
    used = sum(
        p.count(connector, TAKES) - idle[p.item.pk] * p.ends.get((connector, TAKES), 0)
        for p in between
    )
    spare = _spare_feeds(connector, kit, between)
    return max(0, used - _sum(kit, connector, FEEDS) - spare)


def _idle(kit: Sequence[Picked], between: Sequence[Picked], ids: list[int]) -> Counter[int]:
    """How many pieces of each cable, by item id, are more than is needed at their far end."""
    idle: Counter[int] = Counter()
    for connector in ids:
        wanted_here = max(0, _sum(between, connector, TAKES) - _sum(kit, connector, FEEDS))
        left = _spare_feeds(connector, kit, between) - wanted_here
        for cable in between:
            each = cable.ends.get((connector, FEEDS), 0)
            same_ends = (connector, TAKES) in cable.ends
            if each and left > 0 and not same_ends:
                pieces = min(cable.quantity, left // each)
                idle[cable.item.pk] += pieces
                left -= pieces * each
    return idle


def _cable_gaps(
    connector: Connector, kit: Sequence[Picked], between: Sequence[Picked], uses: set[str]
) -> list[Gap]:
    missing = _sum(kit, connector.pk, TAKES) - _sum(between, connector.pk, FEEDS)
    if missing <= 0:
        return []
    kinds = {p.item.kind for p in kit if p.count(connector.pk, TAKES)}
    ends = _inputs(kinds, uses, missing)
    verb = "has" if missing == 1 else "have"
    sentence = f"{missing} {ends} ({connector}) {verb} no cable: add {missing}."
    return [Gap(connector, missing, MISSING, sentence)]


def _inputs(kinds: set[str], uses: set[str], count: int) -> str:
    """What the taking ends are called: loudspeaker inputs, mains inlets ..."""
    plural = "" if count == 1 else "s"
    if uses == {Cable.Use.MAINS}:
        return f"mains inlet{plural}"
    whose = next(iter(kinds)) if len(kinds) == 1 else ""
    return f"input{plural}" if whose in ("", Kind.ACCESSORY) else f"{whose} input{plural}"


def _start_gaps(
    connector: Connector,
    kit: Sequence[Picked],
    between: Sequence[Picked],
    idle: Counter[int],
    uses: set[str],
) -> list[Gap]:
    lacking = _lacking_starts(connector.pk, kit, between, idle)
    if not lacking:
        return []
    some = "1 cable" if lacking == 1 else f"{lacking} cables"
    if Cable.Use.LOUDSPEAKER in uses or not uses:
        verb = "has" if lacking == 1 else "have"
        sentence = (
            f"{some} ({connector}) {verb} no output to start from: the outputs and links on "
            f"this list are all used. Add what feeds {'it' if lacking == 1 else 'them'}."
        )
        return [Gap(connector, lacking, MISSING, sentence)]
    where = "the venue's supply" if uses == {Cable.Use.MAINS} else "a desk or box not on this list"
    starts = "starts" if lacking == 1 else "start"
    sentence = f"{some} ({connector}) {starts} outside this list: make sure {where} has it."
    return [Gap(connector, lacking, ELSEWHERE, sentence)]


def _direct_gaps(connector: Connector, picked: Sequence[Picked]) -> list[Gap]:
    lacking = _sum(picked, connector.pk, TAKES) - _sum(picked, connector.pk, FEEDS)
    if lacking <= 0:
        return []
    verb, ends = ("has", "socket") if lacking == 1 else ("have", "sockets")
    sentence = (
        f"{lacking} {ends} ({connector}) {verb} nothing to sit on: add {lacking}, unless they "
        "stand or hang otherwise."
    )
    return [Gap(connector, lacking, ASK, sentence)]


# --- On the truck --------------------------------------------------------------------------


@dataclass(frozen=True)
class Lift:
    """What is lifted as one: a piece, or a rack with all that sits in it.

    `at_least`: a part of it has an unknown weight, which `mass_kg` leaves out.
    """

    name: str
    mass_kg: float
    pieces: int = 1
    at_least: bool = False

    @property
    def heavy(self) -> bool:
        """More than one person should lift."""
        return self.mass_kg > LIFT_ALONE_KG


@dataclass
class TruckLoad:
    """What the list amounts to. Unknown weights and lengths are counted, never taken as zero.

    `unknown`: what has no weight in the catalogue, by name. `lifts`: what is lifted as one, of
    which `heavy` ones need more than one person, the heaviest first.
    """

    pieces: int = 0
    known_kg: float = 0.0
    unknown: Counter[str] = field(default_factory=Counter)
    lifts: list[Lift] = field(default_factory=list)
    cables: dict[str, Counter[float]] = field(default_factory=lambda: defaultdict(Counter))
    unknown_length: int = 0

    @property
    def unknown_mass(self) -> int:
        return sum(self.unknown.values())

    @property
    def unknown_words(self) -> str:
        """Every item without a weight, by name."""
        return ", ".join(f"{count} x {name}" for name, count in sorted(self.unknown.items()))

    @property
    def heavy(self) -> list[Lift]:
        return sorted((li for li in self.lifts if li.heavy), key=lambda li: (-li.mass_kg, li.name))

    @property
    def heaviest(self) -> Lift | None:
        return max(self.lifts, key=lambda lift: lift.mass_kg, default=None)

    @property
    def heaviest_kg(self) -> float:
        return self.heaviest.mass_kg if self.heaviest else 0.0

    @property
    def above_one_person(self) -> int:
        return sum(lift.pieces for lift in self.heavy)

    @property
    def metres(self) -> dict[str, float]:
        """Metres of cable by use."""
        return {
            use: sum(length * n for length, n in by_length.items())
            for use, by_length in self.cables.items()
        }

    @property
    def all_metres(self) -> float:
        return sum(self.metres.values())

    @property
    def cable_lines(self) -> list[tuple[str, float, list[tuple[float, int]]]]:
        """Use, metres, and how many of each length."""
        metres = self.metres
        return [(use, metres[use], sorted(self.cables[use].items())) for use in sorted(metres)]


def truck_load(rows: Iterable[KitRow]) -> TruckLoad:
    """Weight, pieces, lifts and cable of the whole list, spares and the cases of its racks
    included."""
    load = TruckLoad()
    racks: dict[Rack, list[Item]] = defaultdict(list)
    for row in rows:
        load.pieces += row.quantity
        _add_mass(load, str(row.item), row.item.mass_kg, row.quantity)
        if row.item.kind == Kind.CABLE:
            _add_cable(load, row.item.cable, row.quantity)
        inside = _racks_of(row)
        for rack in inside:
            racks[rack].append(row.item)
        singly = row.quantity - len(inside)
        if singly > 0 and row.item.mass_kg is not None:
            load.lifts.append(Lift(str(row.item), row.item.mass_kg, singly))
    for rack, items in racks.items():
        _add_mass(load, f"case of {rack}", rack.mass_empty_kg, 1)
        load.lifts.append(_loaded(rack, items))
    return load


def _racks_of(row: KitRow) -> list[Rack]:
    """The rack of each unit of the row that travels in one."""
    if row.place != KitRow.Place.RACK:
        return []
    return [b.unit.rack for b in row.unit_bookings.all() if b.unit.rack is not None]


def _loaded(rack: Rack, items: Sequence[Item]) -> Lift:
    masses = [rack.mass_empty_kg, *(item.mass_kg for item in items)]
    known = [mass for mass in masses if mass is not None]
    return Lift(f"{rack}, loaded", sum(known), at_least=len(known) < len(masses))


def _add_mass(load: TruckLoad, name: str, mass: float | None, quantity: int) -> None:
    if mass is None:
        load.unknown[name] += quantity
    else:
        load.known_kg += mass * quantity


def _add_cable(load: TruckLoad, cable: Cable, quantity: int) -> None:
    if cable.length_m is None:
        load.unknown_length += quantity
    else:
        load.cables[cable.use][cable.length_m] += quantity
