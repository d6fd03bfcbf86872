"""How near the audience comes to a box."""

import math
from collections.abc import Sequence

import numpy as np

from calc.acoustics.geometry import ear_height, inside_polygon
from calc.system import AudienceArea, Placement


def nearest_ear_m(placement: Placement, areas: Sequence[AudienceArea]) -> float | None:
    """Distance from a box to the nearest ear over all areas, m; None without an area.

    The nearest point in plan is taken: below the box where it hangs over an area, else on the
    area's edge. On a raked floor the nearest ear may lie a little nearer.
    """
    distances = [_to_area(placement, area) for area in areas]
    return min(distances, default=None)


def _to_area(placement: Placement, area: AudienceArea) -> float:
    box = np.array([placement.x_m, placement.y_m])
    points = [_on_edge(box, a, b) for a, b in _edges(area)]
    if inside_polygon(area.corners, box[:1], box[1:])[0]:
        points.append(box)
    x, y = np.array(points).T
    z = ear_height(area, x, y)
    return float(np.sqrt((x - box[0]) ** 2 + (y - box[1]) ** 2 + (z - placement.z_m) ** 2).min())


def _edges(area: AudienceArea) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(area.corners, area.corners[1:] + area.corners[:1], strict=True))


def _on_edge(point: np.ndarray, start: tuple[float, float], end: tuple[float, float]) -> np.ndarray:
    a, along = np.array(start), np.array(end) - np.array(start)
    length = math.hypot(*along)
    share = 0.0 if length == 0 else float((point - a) @ along) / length**2
    return np.asarray(a + min(1.0, max(0.0, share)) * along)
