"""From metres to a map's units, and the boxes that stand near enough to be drawn."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from calc.system import Placement
from rigs.systems.pictures.maps.contours import Floats
from rigs.systems.pictures.maps.layers import AreaValues

WIDTH, HIGHEST = 360.0, 480.0
SIDE, HEAD, FOOT = 14.0, 20.0, 44.0
NEAR_M = 15.0


@dataclass(frozen=True)
class Plan:
    """From metres to the drawing's units: y grows upwards, away from the stage."""

    left_m: float
    bottom_m: float
    scale: float
    size: tuple[float, float]

    def spot(self, x_m: float, y_m: float) -> tuple[float, float]:
        return (
            SIDE + (x_m - self.left_m) * self.scale,
            self.size[1] - FOOT - (y_m - self.bottom_m) * self.scale,
        )

    def spots(self, points: Iterable[Sequence[float]]) -> Floats:
        return np.array([self.spot(x, y) for x, y in points])

    def holds(self, x_m: float, y_m: float) -> bool:
        """Whether a point lies on the drawing."""
        x, y = self.spot(x_m, y_m)
        return 0 <= x <= self.size[0] and 0 <= y <= self.size[1]

    @property
    def origin(self) -> tuple[float, float]:
        """Where x 0, y 0 lies."""
        return self.spot(0.0, 0.0)


def near(layer: Sequence[AreaValues], placements: Sequence[Placement]) -> list[Placement]:
    """Boxes that are not so far off that the plan would shrink to nothing."""
    low, high = _bounds(layer)
    return [
        p
        for p in placements
        if low[0] - NEAR_M <= p.x_m <= high[0] + NEAR_M
        and low[1] - NEAR_M <= p.y_m <= high[1] + NEAR_M
    ]


def plan_of(layer: Sequence[AreaValues], boxes: Sequence[Placement]) -> Plan:
    """A plan that holds the areas and the boxes."""
    low, high = _bounds(layer)
    if boxes:
        spots = np.array([(box.x_m, box.y_m) for box in boxes])
        low, high = np.minimum(low, spots.min(axis=0)), np.maximum(high, spots.max(axis=0))
    span = np.maximum(high - low, 1.0)
    scale = float(min((WIDTH - 2 * SIDE) / span[0], (HIGHEST - HEAD - FOOT) / span[1]))
    height = HEAD + FOOT + scale * float(span[1])
    spare = (WIDTH - 2 * SIDE) / scale - float(span[0])
    return Plan(float(low[0]) - spare / 2, float(low[1]), scale, (WIDTH, height))


def _bounds(layer: Sequence[AreaValues]) -> tuple[Floats, Floats]:
    corners = np.array([corner for one in layer for corner in one.area.corners])
    return corners.min(axis=0), corners.max(axis=0)
