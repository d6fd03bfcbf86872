"""Floor heights of a raked area."""

import math
from collections.abc import Sequence

from venues.polygons import Point


def floor_heights_m(
    corners: Sequence[Point], floor_z_m: float, rake_deg: float, rake_azimuth_deg: float
) -> list[float]:
    """Height of the floor at each corner.

    `floor_z_m` is that of the corner which lies lowest; from there the floor rises by `rake_deg`
    towards `rake_azimuth_deg` (degrees clockwise from the y axis).
    """
    turn, rise = math.radians(rake_azimuth_deg), math.tan(math.radians(rake_deg))
    along = [x * math.sin(turn) + y * math.cos(turn) for x, y in corners]
    lowest = min(along, default=0.0)
    return [floor_z_m + rise * (place - lowest) for place in along]
