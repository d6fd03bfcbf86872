"""A rig cut along a line: what a drawing from the side needs."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.geometry import Corners, ear_height
from calc.system import AudienceArea, SystemDescription

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FloorCut:
    """One stretch of an area under the cut: distances along it and floor heights, in m.

    `from_m` < `to_m`; the ears lie `ear_height_m` above the floor.
    """

    area: str
    from_m: float
    to_m: float
    from_z_m: float
    to_z_m: float
    ear_height_m: float


@dataclass(frozen=True, slots=True)
class BoxInSection:
    """One box seen from the side of the cut, in m along and across it (to its right).

    `aim_deg` is the slope of its aim in the cut's own plane: 0 along the cut, 90 up, 180 back.
    """

    placement: str
    along_m: float
    across_m: float
    z_m: float
    aim_deg: float


@dataclass(frozen=True, slots=True)
class Section:
    """Floors in their order along the cut, and boxes; the nearest to the cut first."""

    floors: tuple[FloorCut, ...]
    boxes: tuple[BoxInSection, ...]


def section(
    system: SystemDescription, x_m: float = 0.0, y_m: float = 0.0, azimuth_deg: float = 0.0
) -> Section:
    """Cut all areas along a line through (x, y) that runs towards an azimuth.

    Azimuth 0 runs along y, away from the stage. Distances count from the point, negative behind.
    """
    turn = math.radians(azimuth_deg)
    ahead = math.sin(turn), math.cos(turn)
    floors = [cut for area in system.areas for cut in _floor_cuts(area, (x_m, y_m), ahead)]
    boxes = []
    for box in system.placements:
        dx, dy = box.x_m - x_m, box.y_m - y_m
        aside = math.radians(box.azimuth_deg - azimuth_deg)
        tilt = math.radians(box.tilt_deg)
        slope = math.atan2(math.sin(tilt), math.cos(tilt) * math.cos(aside))
        boxes.append(
            BoxInSection(
                placement=box.name,
                along_m=dx * ahead[0] + dy * ahead[1],
                across_m=dx * ahead[1] - dy * ahead[0],
                z_m=box.z_m,
                aim_deg=math.degrees(slope),
            )
        )
    return Section(
        tuple(sorted(floors, key=lambda cut: cut.from_m)),
        tuple(sorted(boxes, key=lambda box: abs(box.across_m))),
    )


def _floor_cuts(
    area: AudienceArea, start: tuple[float, float], ahead: tuple[float, float]
) -> list[FloorCut]:
    found = []
    for low, high in _inside(area.corners, start, ahead):
        along = np.array([low, high])
        heights = ear_height(area, start[0] + along * ahead[0], start[1] + along * ahead[1])
        floor = heights - area.ear_height_m
        found.append(
            FloorCut(area.name, low, high, float(floor[0]), float(floor[1]), area.ear_height_m)
        )
    return found


def _inside(
    corners: Corners, start: tuple[float, float], ahead: tuple[float, float]
) -> list[tuple[float, float]]:
    """Stretches of the line inside of a polygon: its crossings in pairs.

    An edge belongs to its corner on the right of the line, so that a corner on the line counts
    once or not at all.
    """
    crossings = []
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        side = [
            (x - start[0]) * ahead[1] - (y - start[1]) * ahead[0] for x, y in ((x1, y1), (x2, y2))
        ]
        if (side[0] > 0) == (side[1] > 0):
            continue
        share = side[0] / (side[0] - side[1])
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        crossings.append((x - start[0]) * ahead[0] + (y - start[1]) * ahead[1])
    crossings.sort()
    pairs = zip(crossings[::2], crossings[1::2], strict=True)
    return [(low, high) for low, high in pairs if high > low]
