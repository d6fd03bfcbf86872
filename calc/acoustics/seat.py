"""One seat: its spectrum, and what every box gives to it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.answers import energy_at
from calc.acoustics.coverage import a_weighted, level_db
from calc.acoustics.sources import field_of
from calc.check import check_lines
from calc.lookup import Lookup
from calc.system import SystemDescription

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one way of one box gives to a seat by itself.

    `arrival_ms` counts from the processor's output: its delay and the way through the air.
    """

    placement: str
    way: str
    line: str
    level_a_db: float
    spectrum_db: tuple[float, ...]
    distance_m: float
    arrival_ms: float


@dataclass(frozen=True, slots=True)
class SeatResult:
    """One point with every line at full drive; `contributions` loudest first."""

    at_m: tuple[float, float, float]
    level_a_db: float
    level_z_db: float
    bands_hz: tuple[float, ...]
    spectrum_db: tuple[float, ...]
    contributions: tuple[Contribution, ...]


def seat(system: SystemDescription, x_m: float, y_m: float, z_m: float) -> SeatResult:
    """Spectrum and contributions at a point.

    Raises
    ------
    ValueError
        As `calc.check.check`.
    """
    field = field_of(system, Lookup.of(system), check_lines(system))
    point = np.array([[x_m, y_m, z_m]])
    energy = energy_at(system, field.drawn, point)
    total = level_db(np.array([a_weighted(energy)[0], energy.sum()]))
    speed = speed_of_sound(system.surroundings.temperature_c)
    found = []
    for item in field.drawn:
        alone = energy_at(system, [item], point)
        distance = float(np.linalg.norm(point[0] - item.source.position_m))
        found.append(
            Contribution(
                item.placement,
                item.way,
                item.line,
                float(level_db(a_weighted(alone))[0]),
                tuple(level_db(alone[0]).tolist()),
                distance,
                1000 * (item.source.delay_s + distance / speed),
            )
        )
    return SeatResult(
        at_m=(x_m, y_m, z_m),
        level_a_db=float(total[0]),
        level_z_db=float(total[1]),
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        spectrum_db=tuple(level_db(energy[0]).tolist()),
        contributions=tuple(sorted(found, key=lambda c: -c.level_a_db)),
    )
