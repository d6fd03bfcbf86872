"""Listening points over an area, and its outline."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.system import AudienceArea

MOST_POINTS = 4000
MOST_CELLS = 16_000
NEAREST_M = 0.5
"""Nearer than this the level is not raised any more: a box is no point there."""

Floats = NDArray[np.float64]
Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Points at ear height: `x` (columns,), `y` (rows,), `z` and `inside` (rows, columns)."""

    x: Floats
    y: Floats
    z: Floats
    inside: NDArray[np.bool_]

    def points(self) -> Floats:
        """The points inside as (n, 3)."""
        rows, columns = np.nonzero(self.inside)
        return np.column_stack([self.x[columns], self.y[rows], self.z[rows, columns]])


def grid_over(area: AudienceArea, spacing_m: float) -> Grid:
    """Cell centres over the area's bounding box, at most `spacing_m` apart.

    The cells divide the bounding box evenly, so that a mirrored or moved area gets mirrored or
    moved points. Where that would give more than `MOST_POINTS` points inside, the spacing grows.
    """
    corners = np.asarray(area.corners, dtype=np.float64)
    low, high = corners.min(axis=0), corners.max(axis=0)
    size = np.maximum(high - low, 1e-9)
    spacing = max(spacing_m, math.sqrt(float(size[0] * size[1]) / MOST_CELLS), 1e-3)
    while True:
        x, y = (_centres(low[i], size[i], spacing) for i in range(2))
        inside = inside_polygon(area.corners, *np.meshgrid(x, y))
        if inside.sum() <= MOST_POINTS and inside.size <= 2 * MOST_CELLS:
            break
        spacing *= 1.05
    return Grid(x, y, ear_height(area, *np.meshgrid(x, y)), inside)


def _centres(low: float, size: float, spacing: float) -> Floats:
    count = max(1, math.ceil(size / spacing - 1e-9))
    return low + (np.arange(count) + 0.5) * size / count


def inside_polygon(corners: Corners, x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Whether points lie inside a polygon or on its edge (even-odd rule).

    Parameters
    ----------
    x, y : arrays of one shape
    """
    crossings = np.zeros(x.shape, dtype=np.bool_)
    on_edge = np.zeros(x.shape, dtype=np.bool_)
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        length = math.hypot(x2 - x1, y2 - y1)
        if length == 0:
            continue
        along = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length
        across = ((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) / length
        on_edge |= (np.abs(across) < 1e-9) & (along > -1e-9) & (along < length + 1e-9)
        if y1 != y2:
            cut = x1 + (y - y1) * (x2 - x1) / (y2 - y1)
            crossings ^= ((y1 > y) != (y2 > y)) & (x < cut)
    return crossings | on_edge


def polygon_area_m2(corners: Corners) -> float:
    """Area of a polygon that does not cross itself, m2 (0 or more)."""
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def crosses_itself(corners: Corners) -> bool:
    """Whether two edges of a polygon that are not neighbours touch or cross."""
    edges = list(zip(corners, corners[1:] + corners[:1], strict=True))
    for i, first in enumerate(edges):
        for j in range(i + 2, len(edges)):
            neighbours = i == 0 and j == len(edges) - 1
            if not neighbours and _segments_meet(*first, *edges[j]):
                return True
    return False


def ear_height(area: AudienceArea, x: Floats, y: Floats) -> Floats:
    """z of the ears in m: the floor rises along the rake from the area's lowest corner."""
    azimuth = math.radians(area.rake_azimuth_deg)
    right, ahead = math.sin(azimuth), math.cos(azimuth)
    start = min(cx * right + cy * ahead for cx, cy in area.corners)
    rise = (x * right + y * ahead - start) * math.tan(math.radians(area.rake_deg))
    return area.floor_z_m + area.ear_height_m + rise


def _segments_meet(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> bool:
    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    def between(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> bool:
        return min(p[0], q[0]) <= r[0] <= max(p[0], q[0]) and min(p[1], q[1]) <= r[1] <= max(
            p[1], q[1]
        )

    sides = side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    spots = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(s == 0 and between(*spot) for s, spot in zip(sides, spots, strict=True))
