"""What a processor's dials can be set to."""

import math

import numpy as np

from calc.signals.equalise.peaks import Floats
from calc.system import Dial

REFERENCE_HZ = 1000.0
DIGITS = 3
"""Where a dial's steps are unknown its values are rounded to so many digits, to be typed in."""


def nearest(dial: Dial, values: Floats) -> Floats:
    """The nearest settings to values, within the dial's ends."""
    low, high = ends(dial)
    clipped = np.clip(values, low, high)
    if dial.step is None:
        return np.clip(_rounded(clipped), low, high)
    set_to = _on_step(dial, clipped)
    # The ends need not lie on a step.
    set_to = np.where(set_to < low - 1e-9, _next(dial, set_to, 1), set_to)
    return np.where(set_to > high + 1e-9, _next(dial, set_to, -1), set_to)


def ends(dial: Dial) -> tuple[float, float]:
    """The least and the most; without limit where unknown."""
    least = -math.inf if dial.least is None else dial.least
    return least, math.inf if dial.most is None else dial.most


def step_at(dial: Dial, value: float) -> float:
    """How far the next setting is, about."""
    if dial.step is None:
        return 0.1
    if dial.scale == "steps per octave":
        return float(value * (2 ** (1 / dial.step) - 1))
    return dial.step


def _on_step(dial: Dial, values: Floats) -> Floats:
    assert dial.step is not None
    if dial.scale == "steps per octave":
        count = np.round(np.log2(values / REFERENCE_HZ) * dial.step)
        return REFERENCE_HZ * 2 ** (count / dial.step)
    # + 0.0: no value is minus nothing.
    return np.round(np.round(values / dial.step) * dial.step, 9) + 0.0


def _next(dial: Dial, values: Floats, way: int) -> Floats:
    assert dial.step is not None
    if dial.scale == "steps per octave":
        return values * 2 ** (way / dial.step)
    return np.round(values + way * dial.step, 9)


def _rounded(values: Floats) -> Floats:
    size = np.floor(np.log10(np.maximum(np.abs(values), 1e-12)))
    unit = 10.0 ** (size - DIGITS + 1)
    # Gains around 0 need no finer unit than a tenth of a hundredth.
    unit = np.maximum(unit, 0.01)
    return np.round(np.round(values / unit) * unit, 9)
