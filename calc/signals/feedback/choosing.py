"""Which notches raise the margin most: scored at the places where loops are in step.

Only there a loop can ring, so that only there a notch is weighed; |H|^2 of a peak is known in
closed form. As a notch turns the phase around it, the places move: after every few notches they
are found again with the true responses.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.rings import crossings, gain_before_feedback_db
from calc.signals.response import filters_response
from calc.system import Filter

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

WITHIN_DB = 8.0
"""dB behind the first ring: what lies further back is not weighed before the next look."""

WORST = 6
"""So many of the worst places are tried as a notch's middle, and the middles between them."""

EVERY = 4
LEAST_GAIN_DB = 0.05
SHARPNESS = 1.0
"""1/dB. Places are summed as 10^(sharpness x level): the worst rules, but ties are seen too."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What a notch may be: cuts in dB (below 0), Qs, its range in Hz, and the filters' clock."""

    gains_db: tuple[float, ...]
    qs: tuple[float, ...]
    low_hz: float
    high_hz: float
    sampling_hz: float | None = None


@dataclass(frozen=True, slots=True)
class _Places:
    """Where loops are in step, Hz (k,), and how loud there, dB (k,)."""

    hz: Floats
    level_db: Floats


def chosen_notches(
    frequency_hz: Floats, loops: Complex, choices: Choices, count: int
) -> tuple[Filter, ...]:
    """At most `count` notches for all loops (m, n) together, in the order of placing.

    The loop with the least margin decides. Fewer where one more buys less than 0.05 dB.
    """
    found: list[Filter] = []
    now = loops
    while len(found) < count:
        places = _places(frequency_hz, now, choices)
        more = _several(places, choices, min(EVERY, count - len(found)))
        if not more:
            break
        now = now * filters_response(more, frequency_hz, choices.sampling_hz)
        found += more
    return tuple(found)


def _places(frequency_hz: Floats, loops: Complex, choices: Choices) -> _Places:
    found = crossings(loops)
    hz = found.hz(frequency_hz)
    level = 20 * np.log10(np.maximum(found.size, 1e-12))
    near = level > level.max(initial=-240.0) - WITHIN_DB
    return _Places(hz[near], level[near])


def _several(places: _Places, choices: Choices, count: int) -> list[Filter]:
    found: list[Filter] = []
    level = places.level_db
    while len(found) < count and len(level):
        best = _best(places.hz, level, choices)
        if best is None:
            break
        part, level = best
        found.append(part)
    return found


def _best(hz: Floats, level: Floats, choices: Choices) -> tuple[Filter, Floats] | None:
    """The notch that leaves least, and the levels that it leaves."""
    middles = _middles(hz, level, choices)
    if not len(middles):
        return None
    trials = [
        (middle, q, gain) for q in choices.qs for gain in choices.gains_db for middle in middles
    ]
    table = np.array(trials)
    left = level + cut_db(hz, table[:, :1], table[:, 1:2], table[:, 2:], choices.sampling_hz)
    worst = left.max(axis=1)
    rest = np.log10((10 ** (SHARPNESS * (left - level.max()))).sum(axis=1)) / SHARPNESS
    at = int((worst - level.max() + rest).argmin())
    before = np.log10((10 ** (SHARPNESS * (level - level.max()))).sum()) / SHARPNESS
    if before - rest[at] + level.max() - worst[at] < LEAST_GAIN_DB:
        return None
    middle, q, gain = trials[at]
    return Filter("peak", float(middle), gain_db=float(gain), q=float(q)), left[at]


def _middles(hz: Floats, level: Floats, choices: Choices) -> Floats:
    """The worst places themselves, and the middles between neighbours among them."""
    worst = np.sort(hz[np.argsort(-level)[:WORST]])
    between = np.sqrt(worst[1:] * worst[:-1])
    middles = np.unique(np.concatenate([worst, between]))
    inside: Floats = middles[(middles >= choices.low_hz) & (middles <= choices.high_hz)]
    return inside


def cut_db(
    hz: Floats, middle: Floats, q: Floats, gain_db: Floats, sampling_hz: float | None
) -> Floats:
    """Level of peaks at frequencies, dB: |1 - x^2 + j x A/q|^2 over |1 - x^2 + j x/(A q)|^2."""
    x = _scaled(hz, sampling_hz) / _scaled(middle, sampling_hz)
    amplitude = 10 ** (gain_db / 40)
    flat = (1 - x * x) ** 2
    across = (x / q) ** 2
    over, under = flat + across * amplitude**2, flat + across / amplitude**2
    level: Floats = 10 * np.log10(over / under)
    return level


def _scaled(hz: Floats, sampling_hz: float | None) -> Floats:
    """Frequency as the bilinear transform sees it."""
    if sampling_hz is None:
        return hz
    return np.tan(np.pi * np.minimum(hz, 0.499 * sampling_hz) / sampling_hz)


def margin_db(loops: Complex) -> float:
    """That of the loop with the least."""
    return float(gain_before_feedback_db(loops).min())


def notched(
    frequency_hz: Floats, loops: Complex, notches: Sequence[Filter], sampling_hz: float | None
) -> Complex:
    """Loops with notches in them."""
    return loops * filters_response(list(notches), frequency_hz, sampling_hz)


def q_of(octaves: float) -> float:
    """Q of a peak that is so wide between its half-gain edges: 1 / (2 sinh(ln 2 / 2 x octaves))."""
    return 1 / (2 * math.sinh(math.log(2) / 2 * octaves))
