"""Statements about phases, sockets, mains cables and switching on."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from calc.constants import (
    CONTINUOUS_SHARE,
    MOST_DROP_SHARE,
    MOST_DROP_SHARE_PRIVATE,
    NEVER_TRIPS_AT,
    WISHED_DROP_SHARE,
)
from calc.electrical.mains.plugging import Plugged, Plugging, total
from calc.electrical.mains.start import PAUSE_S, by_inrush
from calc.figure import Figure
from calc.prediction import FeedResult, Finding, State, SupplyResult
from calc.system import Circuit, Supply, SystemDescription
from calc.words import joined, number

PHASE_SOURCE = (
    "the breaker's rating; generator 80 %: common practice, no source; currents at 1/8 power, "
    "the test condition of IEC 62368-1 (RECALL)"
)
CIRCUIT_SOURCE = "the breaker's rating; 80 % of it all the time: NEC 210.20"
DROP_SOURCE = (
    "IEC 60364-5-52 annex G: 5 %, 8 % behind a private supply such as a generator; 3 % for the "
    "last cable alone: NEC advice"
)
INRUSH_SOURCE = "three times the rating, below which no usual breaker trips: IEC 60898-1 (RECALL)"
ELECTRICIAN = "A competent electrician and the local code have the last word."
EVEN_SHARE = 1.2

EIGHTH = ("eighth_power_w", "power_factor", "mains_v")
ASSUMED_FIELDS = {
    "phase": EIGHTH,
    "volt_drop": EIGHTH,
    "inrush": ("inrush_a", "idle_w", "power_factor", "mains_v"),
}
FIELD_NAMES = {
    "eighth_power_w": "mains power at 1/8 power",
    "idle_w": "mains power at idle",
    "power_factor": "power factor",
    "mains_v": "mains voltage",
    "inrush_a": "inrush current",
    "amps_per_phase": "current per phase",
    "voltage_v": "voltage",
    "breaker_a": "breaker's current",
    "length_m": "mains cable's length",
    "area_mm2": "mains cable's area",
}


def mains_findings(system: SystemDescription, found: Plugging) -> tuple[Finding, ...]:
    """All of them. One phase without feeds is left to the finding on the total current."""
    if not found.plugged:
        return ()
    supplies = {supply.name: supply for supply in system.supplies}
    findings = [
        _phase(supplies[result.name], result, found.on(result.name))
        for result in found.supplies
        if found.on(result.name) and _worth_it(system, supplies[result.name])
    ]
    findings += _circuits(system.circuits, found)
    findings += [_drop(feed, supplies[feed.supply]) for feed in found.feeds]
    findings += [
        _inrush(supply, found.on(supply.name), system.circuits)
        for supply in system.supplies
        if found.on(supply.name)
    ]
    assumed = {check: tuple(_assumed(system, check)) for check in ASSUMED_FIELDS}
    return tuple(replace(one, assumed=one.assumed + assumed[one.check]) for one in findings)


def _assumed(system: SystemDescription, check: str) -> Iterator[str]:
    """A sentence for every figure of the mains that was only assumed by whoever entered it."""
    used = {place.sheet for place in system.amplifier_places}
    parts: list[tuple[object, str, tuple[str, ...]]] = [
        (sheet, sheet.name, ASSUMED_FIELDS[check])
        for sheet in system.amplifiers
        if sheet.name in used
    ]
    parts += [(supply, supply.name, ("amps_per_phase", "voltage_v")) for supply in system.supplies]
    parts += [(circuit, circuit.name, ("breaker_a",)) for circuit in system.circuits]
    if check == "volt_drop":
        parts += [(feed, feed.rack, ("length_m", "area_mm2")) for feed in system.rack_feeds]
    for part, name, fields in parts:
        for field in fields:
            figure: Figure = getattr(part, field)
            if figure.basis == "assumed" and figure.value is not None:
                yield f"{name}: its {FIELD_NAMES[field]} ({number(figure.value)}) is assumed."


def _worth_it(system: SystemDescription, supply: Supply) -> bool:
    """Whether the phases of a supply are worth a finding."""
    return supply.phases > 1 or any(feed.supply == supply.name for feed in system.rack_feeds)


def plugging_unchecked(system: SystemDescription, found: Plugging) -> Iterator[str]:
    """What nobody said about the plugging."""
    names = {supply.name for supply in system.supplies}
    lost = [one.name for one in found.plugged if one.supply not in names]
    if lost and names:
        yield f"{joined(lost)}: on which supply is not described, so that no phase counts it."
    if system.rack_feeds:
        bare = [one.name for one in found.plugged if one.feed is None]
        if bare:
            yield f"{joined(bare)}: its mains cable is not described, no voltage drop is computed."
    if any(not result.exact for result in found.supplies):
        yield (
            "The phase plan was found by a rule of thumb (too many racks to try all plans): "
            "there may be a slightly better one."
        )


def _phase(supply: Supply, result: SupplyResult, plugged: Sequence[Plugged]) -> Finding:
    usable = result.phases[0].usable_a
    state, sentence, remedy = _phase_state(result, usable, plugged)
    return Finding(
        subject=supply.name,
        check="phase",
        title="Current per phase",
        state=state,
        value=result.highest_a,
        limit=usable,
        unit="A",
        limit_source=PHASE_SOURCE,
        sentence=f"{supply.name}: {sentence}",
        working=tuple(_phase_working(result, usable)),
        assumed=("Currents are added as if all were in step, which is never too low.",),
        remedy=f"{remedy} {ELECTRICIAN}".strip(),
    )


def _phase_state(
    result: SupplyResult, usable: float | None, plugged: Sequence[Plugged]
) -> tuple[State, str, str]:
    plan = _plan_words(result)
    overloaded = _overloaded(result, usable, plugged)
    if overloaded:
        return "fails", overloaded, _better(result, usable, plan)
    unknown = [one.name for one in plugged if one.eighth_power_a is None]
    if usable is None:
        return "cannot check", "its current is unknown. Ask for it before plugging in.", ""
    if unknown or result.highest_a is None:
        return (
            "cannot check",
            f"the mains current of {joined(unknown)} is unknown. Enter it on the data sheet.",
            "",
        )
    highest = f"{number(result.highest_a)} A of {number(usable)} A on the fullest phase"
    third = [p.third_power_a for p in result.phases if p.third_power_a is not None]
    open_racks = [one.name for one in plugged if one.given is None]
    whole = sum(phase.eighth_power_a or 0.0 for phase in result.phases)
    if open_racks and whole > CONTINUOUS_SHARE * usable:
        return (
            "tight",
            f"not plugged yet: {joined(open_racks)}. Plug them as planned, {plan}: {highest}.",
            "Plug as planned and say so here.",
        )
    if third and max(third) > usable:
        return (
            "tight",
            f"{highest}, but a dense programme (1/3 power) draws {number(max(third))} A there.",
            _better(result, usable, plan),
        )
    if result.highest_a > CONTINUOUS_SHARE * usable:
        return (
            "tight",
            f"{highest}: more than 80 %, so that little is left for peaks and other loads.",
            _better(result, usable, plan),
        )
    return "holds", f"{highest}.", _better(result, usable, plan)


def _overloaded(result: SupplyResult, usable: float | None, plugged: Sequence[Plugged]) -> str:
    """The sentence about phases whose known currents alone are too much; else ""."""
    if usable is None:
        return ""
    over = []
    for phase in result.phases:
        known = sum(one.eighth_power_a or 0.0 for one in plugged if one.phase == phase.phase)
        if known > usable * (1 + 1e-9):
            over.append(f"phase {phase.phase} carries {number(known)} A")
    return f"{joined(over)}, {number(usable)} A is the most." if over else ""


def _better(result: SupplyResult, usable: float | None, plan: str) -> str:
    best, now = result.best_highest_a, result.highest_a
    if best is None or now is None or now <= best * EVEN_SHARE:
        if usable is not None and now is not None and now > usable:
            return "Bring another supply or fewer amplifiers: no plugging is better."
        return ""
    words = f"Plug {plan}: then the fullest phase carries {number(best)} A"
    if usable is not None and best > usable:
        return f"{words}, still too much. Bring another supply or fewer amplifiers."
    return words + "."


def _plan_words(result: SupplyResult) -> str:
    phases: dict[int, list[str]] = {}
    for planned in result.best_plan:
        phases.setdefault(planned.phase, []).append(planned.rack)
    return "; ".join(f"phase {phase}: {joined(phases[phase])}" for phase in sorted(phases))


def _phase_working(result: SupplyResult, usable: float | None) -> Iterator[str]:
    for phase in result.phases:
        amps = [
            f"{what} {_amps(a)}"
            for what, a in (
                ("idle", phase.idle_a),
                ("1/8 power", phase.eighth_power_a),
                ("1/3 power", phase.third_power_a),
            )
        ]
        racks = joined(phase.racks) or "nothing"
        yield f"Phase {phase.phase}: {racks}: {', '.join(amps)}."
    if usable is not None:
        yield f"Usable all the time: {number(usable)} A a phase."
    if result.best_highest_a is not None and len(result.phases) > 1:
        how = "the best of all plans" if result.exact else "found by a rule of thumb"
        yield (
            f"Best plugging ({how}): {_plan_words(result)}; fullest phase "
            f"{number(result.best_highest_a)} A."
        )
    if result.neutral_a is not None and result.neutral_rectifier_a is not None:
        yield (
            f"Neutral: {number(result.neutral_a)} A by the vector sum; up to "
            f"{number(result.neutral_rectifier_a)} A where amplifiers draw short pulses, whose "
            "third harmonics add up in the neutral instead of cancelling."
        )


def _amps(value: float | None) -> str:
    return "unknown" if value is None else f"{number(value)} A"


def _circuits(circuits: Sequence[Circuit], found: Plugging) -> Iterator[Finding]:
    for circuit in circuits:
        mine = [one for one in found.plugged if one.circuit == circuit.name]
        if mine:
            yield _circuit(circuit, mine)


def _circuit(circuit: Circuit, mine: Sequence[Plugged]) -> Finding:
    amps, breaker = total(one.eighth_power_a for one in mine), circuit.breaker_a.value
    known = sum(one.eighth_power_a or 0.0 for one in mine)
    state: State
    if breaker is not None and known > breaker * (1 + 1e-9):
        state = "fails"
        sentence = f"{number(known)} A, its breaker bears {number(breaker)} A."
    elif amps is None or breaker is None:
        state = "cannot check"
        sentence = "the current of a rack or of its breaker is unknown. Enter it."
    else:
        state = "tight" if amps > CONTINUOUS_SHARE * breaker else "holds"
        sentence = f"{number(amps)} A of {number(breaker)} A."
    return Finding(
        subject=circuit.name,
        check="phase",
        title="Current of a circuit",
        state=state,
        value=amps,
        limit=breaker,
        unit="A",
        limit_source=CIRCUIT_SOURCE,
        sentence=f"Circuit {circuit.name}: {sentence}",
        working=tuple(f"{one.name}: {_amps(one.eighth_power_a)}." for one in mine),
        remedy=f"Another circuit for one of its racks. {ELECTRICIAN}",
    )


def _drop(feed: FeedResult, supply: Supply) -> Finding:
    most = MOST_DROP_SHARE_PRIVATE if supply.generator else MOST_DROP_SHARE
    share = feed.drop_share
    state: State
    if share is None:
        state = "cannot check"
        sentence = (
            "the length or area of its mains cable, its current or the supply's voltage is "
            "unknown. Enter it."
        )
    else:
        drop = f"{number(100 * share)} % of the voltage is lost in its mains cable"
        if share > most:
            state = "fails"
            sentence = f"{drop}, {number(100 * most)} % is the most. Use a thicker or shorter one."
        elif share > WISHED_DROP_SHARE:
            state = "tight"
            sentence = f"{drop}, and the way to the source loses some too. A thicker one helps."
        else:
            state, sentence = "holds", f"{drop}."
    return Finding(
        subject=feed.rack,
        check="volt_drop",
        title="Voltage drop to a rack",
        state=state,
        value=None if share is None else 100 * share,
        limit=100 * (most if state == "fails" else WISHED_DROP_SHARE),
        unit="%",
        limit_source=DROP_SOURCE,
        sentence=f"{feed.rack}: {sentence}",
        working=tuple(_drop_working(feed, supply)),
        assumed=("The cable alone: what lies before it, to the source, is not described.",),
        remedy=f"A thicker or shorter cable, or fewer amplifiers on it. {ELECTRICIAN}",
    )


def _drop_working(feed: FeedResult, supply: Supply) -> Iterator[str]:
    if feed.eighth_power_a is None or feed.drop_v is None:
        return
    yield (
        f"u = b (rho L / S cos phi + lambda L sin phi) I, b = 2 single phase, rho = 0.0225 ohm "
        f"mm2/m (copper in service, no temperature to add), I = {number(feed.eighth_power_a)} A "
        f"at 1/8 power, the larger of cos phi 0.8 and 1: {number(feed.drop_v)} V."
    )
    if supply.voltage_v.value is not None:
        yield f"Of {number(supply.voltage_v.value)} V between phase and neutral."


def _inrush(supply: Supply, plugged: Sequence[Plugged], circuits: Sequence[Circuit]) -> Finding:
    worst = _worst_inrush(plugged)
    breaker = _smallest_breaker(supply, plugged, circuits)
    limit = None if breaker is None else NEVER_TRIPS_AT * breaker
    state: State
    if worst is None:
        state = "cannot check"
        sentence = "the inrush or idle current of an amplifier is unknown. Enter it."
    elif limit is None:
        state, sentence = "cannot check", "its current is unknown. Ask for it."
    elif worst > limit:
        state = "tight"
        sentence = (
            f"switching on draws up to {number(worst)} A for a moment, more than "
            f"{number(limit)} A: whether the breaker holds depends on its type. Ask the "
            "electrician."
        )
    else:
        state = "holds"
        sentence = f"switching on one by one draws up to {number(worst)} A for a moment."
    return Finding(
        subject=supply.name,
        check="inrush",
        title="Switching on",
        state=state,
        value=worst,
        limit=limit,
        unit="A",
        limit_source=INRUSH_SOURCE,
        sentence=f"{supply.name}: {sentence}",
        working=(
            "Each amplifier's inrush on top of the idle currents of those already on, on its own "
            f"phase; the largest inrush first, then {PAUSE_S} s of pause, so that no two add up.",
        ),
        assumed=("Every amplifier is switched by itself, in the order of the list.",),
        remedy="Amplifiers that start softly, or another type of breaker by an electrician.",
    )


def _worst_inrush(plugged: Sequence[Plugged]) -> float | None:
    phases = {draw.place: one.phase for one in plugged for draw in one.draws}
    running: dict[int | None, float] = {}
    worst = 0.0
    for draw in by_inrush(draw for one in plugged for draw in one.draws):
        if draw.inrush_a is None or draw.idle_a is None:
            return None
        phase = phases[draw.place]
        worst = max(worst, draw.inrush_a + running.get(phase, 0.0))
        running[phase] = running.get(phase, 0.0) + draw.idle_a
    return worst


def _smallest_breaker(
    supply: Supply, plugged: Sequence[Plugged], circuits: Sequence[Circuit]
) -> float | None:
    used = {one.circuit for one in plugged if one.circuit}
    ratings = [supply.amps_per_phase.value]
    ratings += [circuit.breaker_a.value for circuit in circuits if circuit.name in used]
    known = [rating for rating in ratings if rating is not None]
    return min(known) if len(known) == len(ratings) else None
