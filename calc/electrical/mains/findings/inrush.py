"""What switching on draws for a moment."""

from collections.abc import Sequence

from calc.constants import NEVER_TRIPS_AT
from calc.electrical.mains.plugging import Plugged
from calc.electrical.mains.start import PAUSE_S, by_inrush
from calc.prediction import Finding, State
from calc.system import Circuit, Supply
from calc.words import number

INRUSH_SOURCE = (
    "three times the rating, below which no usual breaker trips: "
    "IEC 60898-1 (from memory, not looked up)"
)


def inrush_finding(
    supply: Supply, plugged: Sequence[Plugged], circuits: Sequence[Circuit]
) -> Finding:
    """Each amplifier switched on by itself, on top of those that already run."""
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
