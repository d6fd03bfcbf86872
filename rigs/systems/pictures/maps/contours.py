"""From a grid of levels to closed outlines and labelled lines."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import contourpy
import numpy as np
from numpy.typing import NDArray

STEP_DB = 3.0
MOST_BANDS = 10

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Field:
    """Levels on a grid that reaches beyond its area on all sides, without gaps.

    `x` (columns,), `y` (rows,) in m; `z` (rows, columns) in dB.
    """

    x: Floats
    y: Floats
    z: Floats

    def at_least(self, level: float) -> list[list[Floats]]:
        """Where the level is reached: polygons, each a list of rings (points, 2), in m."""
        made: Any = contourpy.contour_generator(
            self.x, self.y, self.z, fill_type=contourpy.FillType.OuterOffset
        )
        points, offsets = made.filled(level, math.inf)
        return [
            [one[start:end] for start, end in pairwise(cuts)]
            for one, cuts in zip(points, offsets, strict=True)
        ]

    def lines(self, level: float) -> list[Floats]:
        """Lines of one level, each (points, 2) in m."""
        made: Any = contourpy.contour_generator(self.x, self.y, self.z)
        return list(made.lines(level))


def field_of(
    x_m: Sequence[float], y_m: Sequence[float], levels: Sequence[Sequence[float | None]]
) -> Field:
    """A grid with None outside of its area, filled up from the nearest neighbours inside."""
    z = np.array(
        [[math.nan if value is None else value for value in row] for row in levels], dtype=float
    )
    z = _spread_outwards(np.pad(z, 1, constant_values=math.nan))
    return Field(_widened(x_m), _widened(y_m), z)


def _widened(values: Sequence[float]) -> Floats:
    """One more step at both ends; a lone value gets steps of 1 m."""
    step = values[1] - values[0] if len(values) > 1 else 1.0
    return np.array([values[0] - step, *values, values[-1] + step])


def _spread_outwards(z: Floats) -> Floats:
    """Give each gap the mean of its neighbours that have a value, ring by ring."""
    while np.isnan(z).any():
        padded = np.pad(z, 1, constant_values=math.nan)
        rows, columns = z.shape
        around = np.stack(
            [
                padded[1 + dy : 1 + dy + rows, 1 + dx : 1 + dx + columns]
                for dy in (-1, 0, 1)
                for dx in (-1, 0, 1)
                if (dx, dy) != (0, 0)
            ]
        )
        known = ~np.isnan(around)
        count = known.sum(axis=0)
        total = np.where(known, around, 0.0).sum(axis=0)
        gaps = np.isnan(z) & (count > 0)
        z = z.copy()
        z[gaps] = total[gaps] / count[gaps]
    return z


def band_edges(lowest: float, highest: float, step: float = STEP_DB) -> list[float]:
    """Lower edges of bands of one step from the lowest to the highest value.

    Of a very wide range the low end shares one band.
    """
    # A value on an edge belongs above it, whatever the last binary digit says.
    first, last = math.floor(lowest / step + 1e-9), math.floor(highest / step + 1e-9)
    first = max(first, last - MOST_BANDS + 1)
    return [round(step * n, 9) for n in range(first, last + 1)]


def simplified(points: Floats, tolerance: float) -> Floats:
    """Fewer points (n, 2) that stay within `tolerance` of the line (Douglas-Peucker)."""
    if len(points) < 3:
        return points
    keep = np.zeros(len(points), dtype=bool)
    keep[[0, -1]] = True
    spans = [(0, len(points) - 1)]
    while spans:
        start, end = spans.pop()
        if end - start < 2:
            continue
        off = _distance_from_chord(points[start + 1 : end], points[start], points[end])
        furthest = int(off.argmax())
        if off[furthest] > tolerance:
            middle = start + 1 + furthest
            keep[middle] = True
            spans += [(start, middle), (middle, end)]
    return points[keep]


def _distance_from_chord(points: Floats, start: Floats, end: Floats) -> Floats:
    chord = end - start
    length = math.hypot(*chord)
    away = points - start
    if length == 0:
        return np.hypot(away[:, 0], away[:, 1])
    return np.abs(away[:, 0] * chord[1] - away[:, 1] * chord[0]) / length


def inside(corners: Sequence[tuple[float, float]], points: Floats) -> NDArray[np.bool_]:
    """Which points (n, 2) lie in a polygon (even-odd rule)."""
    result = np.zeros(len(points), dtype=bool)
    x, y = points[:, 0], points[:, 1]
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if y1 == y2:
            continue
        crosses = (y1 > y) != (y2 > y)
        result ^= crosses & (x < (x2 - x1) * (y - y1) / (y2 - y1) + x1)
    return result
