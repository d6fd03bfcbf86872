"""Notches against feedback: how many, how wide, what each buys, and what it costs."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from calc.signals.feedback.asking import Material, NotchAsk, able, cannot_of, choices_of, shared
from calc.signals.feedback.choosing import Choices, chosen_notches, margin_db, notched, spared
from calc.signals.feedback.crossings import Complex, Floats
from calc.signals.feedback.grids import on_the_same_lines
from calc.signals.feedback.loop import Loop
from calc.signals.feedback.plan import ChosenNotch, LoopRings, NotchPlan
from calc.signals.feedback.rings import rings_of
from calc.signals.feedback.sentences import sentences
from calc.signals.response import filters_response
from calc.system import Filter

__all__ = [
    "ChosenNotch",
    "LoopRings",
    "Material",
    "NotchAsk",
    "NotchPlan",
    "notches_for",
    "shared",
]

DRIFT = 0.009
"""1. Rings move with the speed of sound: 0.9 % for 5 degrees C (MATH)."""

ONE_RING = 0.005
"""1. Rings of several loops that lie so near are named once."""

PINK_HZ = (100.0, 10_000.0)
HEARD_DB = 1.0
LISTED = 12


def notches_for(loops: Sequence[Loop], ask: NotchAsk) -> NotchPlan:
    """Choose notches for all loops at once: the one with the least margin decides.

    The loops are those of single microphones; where several are open at once their sum
    (`together`) is one more.

    Raises
    ------
    ValueError
        No loop, loops of different lines, or one that is silent.
    """
    loops = on_the_same_lines(loops)
    hz, curves = loops[0].frequency_hz, np.stack([loop.as_set for loop in loops])
    choices = choices_of(ask)
    faults = tuple(cannot_of(ask, choices))
    notches = () if faults else _chosen(hz, curves, choices, able(ask))
    steps = _margins(hz, curves, notches, choices.sampling_hz)
    done = notched(hz, curves, notches, choices.sampling_hz)
    whole = tuple(
        _loop(loop, row, after, ask) for loop, row, after in zip(loops, curves, done, strict=True)
    )
    drifted = [
        _margins(hz, curves, _moved(notches, share), choices.sampling_hz)[-1]
        for share in (1 + DRIFT, 1 - DRIFT)
    ]
    plan = NotchPlan(
        absolute=all(loop.absolute for loop in loops),
        margin_before_db=steps[0],
        margin_after_db=steps[-1],
        drifted_db=min(drifted),
        costs_db=_cost_db(notches, choices.sampling_hz),
        loops=whole,
        notches=tuple(_told(hz, done, notches, steps, whole, choices)),
        says=(),
        cannot=faults,
        reserve=ask.reserve,
    )
    return replace(plan, says=tuple(sentences(plan, ask, choices)))


def _chosen(hz: Floats, curves: Complex, choices: Choices, count: int) -> tuple[Filter, ...]:
    found = spared(hz, curves, choices, chosen_notches(hz, curves, choices, count))
    # What the dials round off, and what was spared, must not leave less than there was.
    steps = _margins(hz, curves, found, choices.sampling_hz)
    return found[: int(np.argmax(steps))]


def _loop(loop: Loop, before: Complex, after: Complex, ask: NotchAsk) -> LoopRings:
    hz = loop.frequency_hz
    hidden = loop.hidden(ask.low_hz, ask.high_hz)
    first, last = (
        rings_of(hz, row, believed=loop.believed, most=LISTED) for row in (before, after)
    )
    return LoopRings(
        loop.name,
        margin_db(before[None]),
        margin_db(after[None]),
        first,
        last,
        None if hidden is None else hidden.margin_db,
        None if hidden is None else hidden.frequency_hz,
        loop.cut_off_db,
    )


def _moved(notches: Sequence[Filter], share: float) -> tuple[Filter, ...]:
    """Rings that move by a share meet notches that stay: the same as the other way round."""
    return tuple(replace(part, frequency_hz=part.frequency_hz / share) for part in notches)


def _margins(
    hz: Floats, curves: Complex, notches: Sequence[Filter], sampling_hz: float | None
) -> list[float]:
    """The least margin with none of them, with the first, ... with all."""
    found, now = [margin_db(curves)], curves
    for part in notches:
        now = notched(hz, now, [part], sampling_hz)
        found.append(margin_db(now))
    return found


def _told(
    hz: Floats,
    done: Complex,
    notches: Sequence[Filter],
    steps: Sequence[float],
    loops: Sequence[LoopRings],
    choices: Choices,
) -> Iterator[ChosenNotch]:
    rings = _apart(ring.frequency_hz for loop in loops for ring in loop.rings)
    pink = np.geomspace(*PINK_HZ, 2000)
    octaves = np.log2(PINK_HZ[1] / PINK_HZ[0])
    for part, before, after in zip(notches, steps, steps[1:], strict=False):
        level = _level_db([part], pink, choices.sampling_hz)
        met = rings[_level_db([part], rings, choices.sampling_hz) < part.gain_db / 2]
        without = done / filters_response([part], hz, choices.sampling_hz)
        yield ChosenNotch(
            part,
            tuple(float(ring) for ring in met),
            after - before,
            _cost_db([part], choices.sampling_hz),
            float(octaves * (level < -HEARD_DB).mean()),
            steps[-1] - margin_db(without),
        )


def _apart(frequencies_hz: Iterable[float]) -> Floats:
    """Each once, rising: several microphones have most rings in common."""
    kept: list[float] = []
    for hz in sorted(frequencies_hz):
        if not kept or hz > kept[-1] * (1 + ONE_RING):
            kept.append(hz)
    return np.array(kept)


def _level_db(notches: Sequence[Filter], hz: Floats, sampling_hz: float | None) -> Floats:
    level: Floats = 20 * np.log10(np.abs(filters_response(list(notches), hz, sampling_hz)))
    return level


def _cost_db(notches: Sequence[Filter], sampling_hz: float | None) -> float:
    """What pink noise loses."""
    level = _level_db(notches, np.geomspace(*PINK_HZ, 2000), sampling_hz)
    return float(-10 * np.log10((10 ** (level / 10)).mean())) if notches else 0.0
