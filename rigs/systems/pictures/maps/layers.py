"""What a map shows: values over areas, in groups that do not lie above each other."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from calc.prediction import AreaResult
from calc.system import AudienceArea, SystemDescription
from rigs.systems.pictures.maps import contours
from rigs.systems.pictures.maps.contours import Floats

Rows = Sequence[Sequence[float | None]]


@dataclass(frozen=True)
class AreaValues:
    """Values over one area's grid: rows of y, columns of x, None outside of it."""

    area: AudienceArea
    x_m: Sequence[float]
    y_m: Sequence[float]
    values: Rows

    @property
    def known(self) -> list[float]:
        """The values inside."""
        return [value for row in self.values for value in row if value is not None]

    @property
    def points(self) -> Floats:
        """Where the values inside lie, (n, 2) in m."""
        found = [
            (x, y)
            for y, row in zip(self.y_m, self.values, strict=True)
            for x, value in zip(self.x_m, row, strict=True)
            if value is not None
        ]
        return np.array(found).reshape(-1, 2)


def mids(system: SystemDescription, results: Sequence[AreaResult]) -> list[AreaValues]:
    """The level from 500 Hz to 4 kHz, every line at its most."""
    areas = {area.name: area for area in system.areas}
    return [
        AreaValues(areas[result.name], result.x_m, result.y_m, result.level_mid_db)
        for result in results
        if result.name in areas
    ]


def layers_of(shown: Iterable[AreaValues]) -> list[list[AreaValues]]:
    """Areas in groups without overlap in plan; the largest comes first."""
    layers: list[list[AreaValues]] = []
    for one in sorted(shown, key=lambda each: -len(each.known)):
        for layer in layers:
            if not any(_overlap(one, other) for other in layer):
                layer.append(one)
                break
        else:
            layers.append([one])
    return layers


def _overlap(one: AreaValues, other: AreaValues) -> bool:
    return bool(
        contours.inside(one.area.corners, other.points).any()
        or contours.inside(other.area.corners, one.points).any()
    )
