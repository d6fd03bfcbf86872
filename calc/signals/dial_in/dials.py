"""Rounding to what a dial can be set to."""

import math
from dataclasses import replace

from calc.system import Dial

SAME = 1e-9
MIDDLE_HZ = 1000.0


def above_nothing(dial: Dial) -> Dial:
    """The dial of a quantity that is never 0 or less: a frequency, a Q, an attack."""
    if dial.scale != "linear" or dial.step is None or (dial.least is not None and dial.least > 0):
        return dial
    return replace(dial, least=dial.step)


def of_a_frequency(dial: Dial, sampling_hz: float | None) -> Dial:
    """A frequency's dial: above nothing, and never at half the sampling rate or beyond."""
    dial = above_nothing(dial)
    if sampling_hz is None:
        return dial
    end = sampling_hz / 2 * (1 - 1e-6)
    return replace(dial, most=end if dial.most is None else min(dial.most, end))


def nearest(dial: Dial, value: float) -> float | None:
    """The setting nearest to a value; None where the value lies beyond the dial's ends."""
    return closest(dial, value) if _reaches(dial, value) else None


def at_most(dial: Dial, value: float) -> float | None:
    """The highest setting that is not above a value; None where there is none."""
    if dial.most is not None and value > dial.most:
        value = dial.most
    found = value if dial.step is None else _down(dial, value)
    return None if dial.least is not None and found < dial.least - SAME else found


def at_least(dial: Dial, value: float) -> float | None:
    """The lowest setting that is not below a value; None where there is none."""
    if dial.least is not None and value < dial.least:
        value = dial.least
    found = value if dial.step is None else _up(dial, value)
    return None if dial.most is not None and found > dial.most + SAME else found


def closest(dial: Dial, value: float) -> float:
    """The setting nearest to a value, however far beyond the dial's ends it lies."""
    low, high = at_most(dial, value), at_least(dial, value)
    if low is None or high is None:
        ends = [one for one in (low, high, dial.least, dial.most) if one is not None]
        return ends[0] if ends else value
    return (
        low
        if _place(dial, value) - _place(dial, low) <= _place(dial, high) - _place(dial, value)
        else high
    )


def half_step(dial: Dial, value: float) -> float:
    """Half a step of the dial at a value, in its unit (0 where the step is unknown)."""
    if dial.step is None:
        return 0.0
    if dial.scale == "linear":
        return dial.step / 2
    return value * (2 ** (0.5 / dial.step) - 1)


def _reaches(dial: Dial, value: float) -> bool:
    low = dial.least is None or value >= dial.least - SAME
    return low and (dial.most is None or value <= dial.most + SAME)


def _place(dial: Dial, value: float) -> float:
    """How many steps a value is from the dial's own beginning."""
    if dial.step is None:
        return value
    if dial.scale == "linear":
        return value / dial.step
    return math.log2(value / MIDDLE_HZ) * dial.step


def _setting(dial: Dial, place: int) -> float:
    assert dial.step is not None
    if dial.scale == "linear":
        return round(place * dial.step, 9)
    return MIDDLE_HZ * float(2 ** (place / dial.step))


def _down(dial: Dial, value: float) -> float:
    """A setting at or below; what is one already but for the last digit stays."""
    place = _place(dial, value)
    whole = round(place)
    return _setting(dial, whole if abs(place - whole) < 1e-7 else math.floor(place))


def _up(dial: Dial, value: float) -> float:
    place = _place(dial, value)
    whole = round(place)
    return _setting(dial, whole if abs(place - whole) < 1e-7 else math.ceil(place))
