"""The straight line through points, in closed form."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def straight(x: Floats, y: Floats) -> tuple[float, float, float]:
    """Slope, height at 0, and the share of y's variance that the line leaves, 0 to 1.

    At least two points at two places.
    """
    dx, dy = x - x.mean(), y - y.mean()
    across = float(dx @ dx)
    along, up = float(dx @ dy), float(dy @ dy)
    slope = along / across
    left = 1 - along * slope / up if up else 0.0
    return slope, float(y.mean() - slope * x.mean()), left
