"""What hangs on which phase of which supply, as plugged or as planned."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from calc.electrical.mains.draws import usable_a
from calc.electrical.mains.phases import SAME_A, best_plan, neutral_a, neutral_of_rectifiers_a
from calc.electrical.mains.volt_drop import worst_drop_v
from calc.prediction import AmplifierDraw, FeedResult, PhaseResult, PlannedRack, SupplyResult
from calc.system import RackFeed, Supply, SystemDescription


@dataclass(frozen=True, slots=True)
class Plugged:
    """One rack, or an amplifier plugged by itself, and where its plug goes.

    `given` is the phase that somebody said (from 1), `phase` that or the planned one; `socket`
    is the same for racks that share a circuit.
    """

    name: str
    draws: tuple[AmplifierDraw, ...]
    supply: str
    circuit: str
    given: int | None
    phase: int | None
    feed: RackFeed | None

    @property
    def idle_a(self) -> float | None:
        """Sum of its amplifiers' currents at idle."""
        return total(draw.idle_a for draw in self.draws)

    @property
    def eighth_power_a(self) -> float | None:
        """Sum of its amplifiers' currents at 1/8 power."""
        return total(draw.eighth_power_a for draw in self.draws)

    @property
    def third_power_a(self) -> float | None:
        """Sum of its amplifiers' currents at 1/3 power."""
        return total(draw.third_power_a for draw in self.draws)

    @property
    def programme_a(self) -> float | None:
        """Sum of its amplifiers' currents with the event's programme."""
        return total(draw.programme_a for draw in self.draws)

    @property
    def assumed(self) -> tuple[str, ...]:
        """What had to be assumed for the programme's current, each once."""
        return tuple(dict.fromkeys(text for draw in self.draws for text in draw.assumed))

    @property
    def socket(self) -> tuple[str, str]:
        """What can only be plugged together."""
        return ("circuit", self.circuit) if self.circuit else ("rack", self.name)


@dataclass(frozen=True, slots=True)
class Plugging:
    """Everything plugged, and the phase table of each supply."""

    plugged: tuple[Plugged, ...]
    supplies: tuple[SupplyResult, ...]
    feeds: tuple[FeedResult, ...]

    def on(self, supply: str) -> list[Plugged]:
        """What hangs on a supply."""
        return [one for one in self.plugged if one.supply == supply]

    def phases_of_places(self) -> dict[str, int]:
        """Phase (from 1) of every amplifier place that has one."""
        return {
            draw.place: one.phase
            for one in self.plugged
            if one.phase is not None
            for draw in one.draws
        }


def total(values: Iterable[float | None]) -> float | None:
    """The sum; None if one is unknown."""
    found = list(values)
    known = [value for value in found if value is not None]
    return sum(known, 0.0) if len(known) == len(found) else None


def plugging(system: SystemDescription, draws: Sequence[AmplifierDraw]) -> Plugging:
    """Put every rack on a phase: where it is plugged, else where the best plan wants it.

    A rack without a feed hangs on the only supply there is; with several supplies it hangs on
    none. A rack whose current is unknown is not planned.
    """
    plugged: list[Plugged] = []
    results = []
    bare = _bare(system, draws)
    for supply in system.supplies:
        mine, result = _planned(supply, [one for one in bare if one.supply == supply.name])
        plugged += mine
        results.append(result)
    names = {supply.name for supply in system.supplies}
    plugged += [one for one in bare if one.supply not in names]
    order = {one.name: index for index, one in enumerate(bare)}
    plugged.sort(key=lambda one: order[one.name])
    volts = {supply.name: supply.voltage_v.value for supply in system.supplies}
    feeds = tuple(_feed_result(one, volts) for one in plugged if one.feed is not None)
    return Plugging(tuple(plugged), tuple(results), feeds)


def _bare(system: SystemDescription, draws: Sequence[AmplifierDraw]) -> list[Plugged]:
    feeds = {feed.rack: feed for feed in system.rack_feeds}
    supplies = {supply.name: supply for supply in system.supplies}
    circuits = {circuit.name: circuit for circuit in system.circuits}
    members: dict[str, list[AmplifierDraw]] = {}
    for draw in draws:
        name = draw.place if draw.place in feeds or not draw.rack else draw.rack
        members.setdefault(name, []).append(draw)
    found = []
    for name, inside in members.items():
        feed = feeds.get(name)
        supply = feed.supply if feed else (next(iter(supplies)) if len(supplies) == 1 else "")
        circuit = circuits.get(feed.circuit) if feed else None
        given = feed.phase if feed else None
        if given is None and circuit is not None:
            given = circuit.phase
        if given is None and supply and supplies[supply].phases == 1:
            given = 1
        found.append(
            Plugged(name, tuple(inside), supply, feed.circuit if feed else "", given, given, feed)
        )
    return found


def _planned(supply: Supply, mine: Sequence[Plugged]) -> tuple[list[Plugged], SupplyResult]:
    amps = [sum(_known(one) for one in mine if one.given == n + 1) for n in range(supply.phases)]
    chosen, exact = _spread([one for one in mine if one.given is None], amps)
    placed = [
        Plugged(
            one.name, one.draws, one.supply, one.circuit, one.given,
            one.given or chosen.get(one.socket), one.feed,
        )
        for one in mine
    ]  # fmt: skip
    everything, best_exact = _spread(mine, [0.0] * supply.phases)
    planned = {one.name: everything.get(one.socket) for one in mine}
    now = {one.name: one.phase for one in placed}
    if _highest(supply, placed, now) <= _highest(supply, placed, planned) + SAME_A:
        planned, best_exact = now, exact  # nobody replugs for nothing
    best = tuple(
        PlannedRack(name, phase)
        for (name, phase), one in zip(planned.items(), placed, strict=True)
        if phase is not None and one.programme_a is not None
    )
    return placed, _supply_result(supply, placed, best, exact and best_exact)


def _highest(supply: Supply, racks: Sequence[Plugged], phases: Mapping[str, int | None]) -> float:
    """Current of the fullest phase, of what is known."""
    return max(
        sum(_known(one) for one in racks if phases[one.name] == number + 1)
        for number in range(supply.phases)
    )


def _known(one: Plugged) -> float:
    return one.programme_a or 0.0


def _spread(
    racks: Sequence[Plugged], already_a: Sequence[float]
) -> tuple[dict[tuple[str, str], int], bool]:
    """Phase (from 1) by socket of all racks with a known current, and whether it is the best."""
    amps: dict[tuple[str, str], float] = {}
    unknown = {one.socket for one in racks if one.programme_a is None}
    for one in racks:
        if one.socket not in unknown:
            amps[one.socket] = amps.get(one.socket, 0.0) + _known(one)
    plan = best_plan(list(amps.values()), already_a)
    return {socket: phase + 1 for socket, phase in zip(amps, plan.phases, strict=True)}, plan.exact


def _supply_result(
    supply: Supply, placed: Sequence[Plugged], best: tuple[PlannedRack, ...], exact: bool
) -> SupplyResult:
    phases = tuple(_phase(supply, number + 1, placed) for number in range(supply.phases))
    complete = all(one.phase is not None for one in placed)
    currents = [phase.programme_a for phase in phases]
    known = [amps for amps in currents if amps is not None] if complete else []
    whole = known if len(known) == len(currents) else []
    by_name = {one.name: _known(one) for one in placed}
    at_best = [
        sum(by_name[one.rack] for one in best if one.phase == n + 1) for n in range(supply.phases)
    ]
    several = supply.phases > 1
    return SupplyResult(
        name=supply.name,
        phases=phases,
        highest_a=max(whole, default=None),
        best_highest_a=max(at_best) if len(best) == len(placed) else None,
        best_plan=best,
        exact=exact,
        neutral_a=(neutral_a(whole) if several else whole[0]) if whole else None,
        neutral_rectifier_a=neutral_of_rectifiers_a(whole) if whole else None,
    )


def _phase(supply: Supply, number: int, placed: Sequence[Plugged]) -> PhaseResult:
    mine = [one for one in placed if one.phase == number]
    return PhaseResult(
        phase=number,
        racks=tuple(one.name for one in mine),
        idle_a=total(one.idle_a for one in mine),
        eighth_power_a=total(one.eighth_power_a for one in mine),
        third_power_a=total(one.third_power_a for one in mine),
        usable_a=usable_a(supply),
        programme_a=total(one.programme_a for one in mine),
    )


def _feed_result(one: Plugged, volts: dict[str, float | None]) -> FeedResult:
    assert one.feed is not None
    length, area, amps = one.feed.length_m.value, one.feed.area_mm2.value, one.programme_a
    drop: float | None = None
    if length is not None and area is not None and amps is not None:
        drop = worst_drop_v(amps, length, area)
    supply_v = volts.get(one.supply)
    return FeedResult(
        rack=one.name,
        supply=one.supply,
        phase=one.phase,
        given=one.given is not None,
        circuit=one.circuit,
        idle_a=one.idle_a,
        eighth_power_a=one.eighth_power_a,
        third_power_a=one.third_power_a,
        drop_v=drop,
        drop_share=None if drop is None or supply_v is None else drop / supply_v,
        programme_a=amps,
    )
