"""A notch plan as its page shows it."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from calc.signals.words import hz_words
from rigs.systems.pictures.frequency import said_hz
from rigs.tuning.analyse.fitted import octaves_of
from rigs.tuning.analyse.looping import plan_of
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.rings import rings_now, rings_with_notches


@dataclass(frozen=True, slots=True)
class NotchRow:
    """A notch in words."""

    hz: str
    gain: str
    width: str
    adds: str
    costs: str
    rings: str


@dataclass(frozen=True, slots=True)
class LoopRow:
    """A microphone: its margins in words, the state of what is left, its rings in order."""

    name: str
    before: str
    after: str
    state: str
    rings: list[str]


@dataclass(frozen=True, slots=True)
class ShownPlan:
    """All that is told of a plan."""

    absolute: bool
    before: str
    after: str
    bought_db: float
    costs_db: float
    drifted: str
    loops: list[LoopRow]
    notches: list[NotchRow]
    pictures: list[Pair]
    says: tuple[str, ...]


def shown_plan(result: dict[str, Any]) -> ShownPlan:
    """Read a stored plan. Raises ValueError where it is of another form."""
    found = plan_of(result)
    first = found.margin_before_db
    draws = (rings_now, rings_with_notches) if found.notches else (rings_now,)

    def margin(value: float) -> str:
        return f"{value:.1f} dB" if found.absolute else f"{value - first:+.1f} dB"

    return ShownPlan(
        absolute=found.absolute,
        before=margin(first),
        after=margin(found.margin_after_db),
        bought_db=found.margin_after_db - first,
        costs_db=found.costs_db,
        drifted=margin(found.drifted_db),
        loops=[
            LoopRow(
                loop.name,
                margin(loop.margin_before_db),
                margin(loop.margin_after_db),
                _state(found.absolute, loop.margin_after_db),
                [
                    f"{said_hz(ring.frequency_hz)} at {margin(ring.margin_db)}"
                    for ring in loop.rings
                ],
            )
            for loop in found.loops
        ],
        notches=[
            NotchRow(
                hz_words(one.filter.frequency_hz),
                f"{one.filter.gain_db:+.1f} dB",
                f"Q {one.filter.q:.1f}, {octaves_of(one.filter.q or 1):.2f} octaves",
                f"{one.adds_db:+.1f} dB",
                f"{one.costs_db:.2f} dB",
                ", ".join(said_hz(hz) for hz in one.rings_hz),
            )
            for one in found.notches
        ],
        pictures=[both(partial(draw, found)) for draw in draws],
        says=found.says,
    )


def measured_words(result: dict[str, Any]) -> dict[str, str]:
    """Of each loop by its name: how much is left now, and what would ring first.

    Empty where nobody knows how loud it was measured, or the result is of another form.
    """
    try:
        found = plan_of(result)
    except ValueError:
        return {}
    return {
        loop.name: f"{loop.margin_before_db:.1f} dB by its measured loop, "
        f"first {said_hz(loop.rings[0].frequency_hz)}"
        for loop in found.loops
        if found.absolute and loop.rings
    }


def _state(absolute: bool, margin_db: float) -> str:
    if not absolute:
        return "cannot check"
    if margin_db >= 6:
        return "holds"
    return "tight" if margin_db > 0 else "fails"
