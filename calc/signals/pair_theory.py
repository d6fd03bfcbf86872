"""What a high and a low pass are together, whatever the loudspeakers do.

Which polarity they need is read from the phase between the two filters where both are equally
loud, not from a table.
"""

import math

import numpy as np

from calc.signals.response import Complex, Floats, filters_response
from calc.signals.ways import DrivenWay
from calc.signals.words import slope_words
from calc.system import Filter

SAME_CORNER = 2 ** (1 / 12)
"""1. A dial's coarseness may lie between the corners of a pair; more is no pair. Own choice."""

EITHER_DEG = 10.0
"""deg. So near to a quarter turn both polarities sum alike: Butterworth of odd order."""


def kind_of(lower: DrivenWay, upper: DrivenWay) -> str:
    """The pair's name in words; "" where the passes are no known pair."""
    passes = passes_of(lower, upper)
    return (
        ""
        if passes is None or not is_pair(*passes)
        else slope_words(passes[0].family, passes[0].order)
    )


def passes_of(lower: DrivenWay, upper: DrivenWay) -> tuple[Filter, Filter] | None:
    """Low pass of the lower way and high pass of the upper one; None unless there are both."""
    low, high = lower.pass_of("low-pass"), upper.pass_of("high-pass")
    return None if low is None or high is None else (low, high)


def is_pair(low: Filter, high: Filter) -> bool:
    """Whether family, order and corner are the same."""
    apart = max(low.frequency_hz / high.frequency_hz, high.frequency_hz / low.frequency_hz)
    return (low.family, low.order) == (high.family, high.order) and apart < SAME_CORNER


def middle_hz(lower: DrivenWay, upper: DrivenWay) -> float:
    """Where the two are meant to meet, by their passes or else by their bands."""
    passes = passes_of(lower, upper)
    if passes is not None:
        return math.sqrt(passes[0].frequency_hz * passes[1].frequency_hz)
    one = next((p for p in (lower.pass_of("low-pass"), upper.pass_of("high-pass")) if p), None)
    if one is not None:
        return one.frequency_hz
    band = [hz for hz in (lower.way.high_hz.value, upper.way.low_hz.value) if hz is not None]
    return math.sqrt(band[0] * band[-1]) if band else 1000.0


def needed_inverted(lower: DrivenWay, upper: DrivenWay) -> bool | None:
    """Whether one of a known pair must be inverted; None where either does or nothing is known."""
    passes = passes_of(lower, upper)
    if passes is None or not is_pair(*passes):
        return None
    turn = abs(math.degrees(float(np.angle(_meeting(lower, upper)[1]))))
    if abs(turn - 90) < EITHER_DEG:
        return None
    return turn > 90


def missing_db(lower: DrivenWay, upper: DrivenWay) -> float | None:
    """How much a sum in phase still lacks where the passes meet: above 0 is a hole.

    dB re what they pass; a Linkwitz-Riley pair lacks nothing. None unless there are both.
    """
    if passes_of(lower, upper) is None:
        return None
    size, _ = _meeting(lower, upper)
    return -20 * math.log10(max(2 * size, 1e-10))


def _meeting(lower: DrivenWay, upper: DrivenWay) -> tuple[float, complex]:
    """Level of each pass where both are alike, and the upper over the lower there."""
    passes = passes_of(lower, upper)
    assert passes is not None
    corners = [part.frequency_hz for part in passes]
    hz = np.geomspace(min(corners) / 4, max(corners) * 4, 961)
    low, high = (_alone(w, p, hz) for w, p in zip((lower, upper), passes, strict=True))
    place = int(np.argmin(np.abs(np.log(np.abs(high)) - np.log(np.abs(low)))))
    return float(min(abs(low[place]), abs(high[place]))), complex(high[place] / low[place])


def _alone(way: DrivenWay, part: Filter, hz: Floats) -> Complex:
    abilities = way.played.abilities
    nyquist = abilities.sampling_hz.value
    at = hz if nyquist is None else np.minimum(hz, 0.499 * nyquist)
    return filters_response([part], at, nyquist, abilities.bessel_corner)
