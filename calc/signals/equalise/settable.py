"""What a processor's dials can be set to."""

import math

import numpy as np

from calc.signals.dial_in.dials import closest
from calc.signals.equalise.peaks import Floats
from calc.system import Dial

DIGITS = 3
"""Where a dial's steps are unknown its values are rounded to so many digits, to be typed in."""


def nearest(dial: Dial, values: Floats) -> Floats:
    """The nearest settings to values (n,), within the dial's ends."""
    if dial.step is None:
        low, high = ends(dial)
        return np.clip(_rounded(np.clip(values, low, high)), low, high)
    # + 0.0: no value is minus nothing.
    return np.array([closest(dial, float(value)) for value in values]) + 0.0


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


def _rounded(values: Floats) -> Floats:
    size = np.floor(np.log10(np.maximum(np.abs(values), 1e-12)))
    unit = 10.0 ** (size - DIGITS + 1)
    # Gains around 0 need no finer unit than a tenth of a hundredth.
    unit = np.maximum(unit, 0.01)
    return np.round(np.round(values / unit) * unit, 9)
