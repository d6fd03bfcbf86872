"""Delay and polarity of each box, for each kind of array."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from calc.signals.arrays.answers import ArrayKind

ROW_M = 0.05
"""Boxes nearer than this along the aim stand in one row. Own choice."""

Floats = NDArray[np.float64]
Setting = tuple[Floats, Floats]
"""Delays in s, (boxes,), the least is 0; and 1 or -1 for the polarity, (boxes,)."""


def spaced(ahead_m: Floats, right_m: Floats, speed_m_s: float, opening_deg: float) -> Setting:
    """Side by side: no delays, but that rows are brought level along the aim."""
    return _together_ahead(ahead_m, speed_m_s), np.ones(len(ahead_m))


def gradient(ahead_m: Floats, right_m: Floats, speed_m_s: float, opening_deg: float) -> Setting:
    """A front row, and a rear row inverted and delayed by its way to the front: silent behind.

    Straight behind both arrive together, the front row by the air and the rear by its delay.

    Raises
    ------
    ValueError
        There are not just two rows.
    """
    rows = rows_of(ahead_m)
    if len(rows) != 2:
        raise ValueError(
            "a gradient array has two rows, one behind the other; here "
            + ("is one row" if len(rows) == 1 else f"are {len(rows)} rows")
        )
    rear = ahead_m < (rows[0] + rows[1]) / 2
    delay = np.where(rear, (ahead_m.max() - ahead_m) / speed_m_s, 0.0)
    return delay, np.where(rear, -1.0, 1.0)


def end_fire(ahead_m: Floats, right_m: Floats, speed_m_s: float, opening_deg: float) -> Setting:
    """One behind the other: each waits for the sound of those behind it.

    Raises
    ------
    ValueError
        All stand in one row.
    """
    if len(rows_of(ahead_m)) < 2:
        raise ValueError("an end-fire array needs boxes one behind the other along the aim")
    return _together_ahead(ahead_m, speed_m_s), np.ones(len(ahead_m))


def arc(ahead_m: Floats, right_m: Floats, speed_m_s: float, opening_deg: float) -> Setting:
    """Side by side: delayed as if the outer ones stood back on an arc of `opening_deg`.

    The outermost boxes' own arc looks half the opening angle aside.

    Raises
    ------
    ValueError
        An opening angle that cannot be; all boxes one behind the other.
    """
    if not 0 < opening_deg <= 180:
        raise ValueError("the opening angle must lie above 0 and at 180 degrees at most")
    aside = right_m - (right_m.max() + right_m.min()) / 2
    half = float(np.abs(aside).max())
    if half < ROW_M:
        raise ValueError("an arc needs boxes side by side across the aim")
    radius = half / math.sin(math.radians(opening_deg / 2))
    back = radius - np.sqrt(np.maximum(radius**2 - aside**2, 0.0))
    delay = _together_ahead(ahead_m, speed_m_s) + back / speed_m_s
    return delay - delay.min(), np.ones(len(ahead_m))


SETTINGS: dict[ArrayKind, Callable[[Floats, Floats, float, float], Setting]] = {
    "spaced": spaced,
    "gradient": gradient,
    "end-fire": end_fire,
    "arc by delay": arc,
}


def rows_of(ahead_m: Floats) -> list[float]:
    """Where rows stand along the aim, rear first."""
    rows: list[float] = []
    for place in np.sort(ahead_m):
        if not rows or place - rows[-1] > ROW_M:
            rows.append(float(place))
    return rows


def _together_ahead(ahead_m: Floats, speed_m_s: float) -> Floats:
    late: Floats = (ahead_m - ahead_m.min()) / speed_m_s
    return late
