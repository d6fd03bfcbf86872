"""Direct sound over the audience areas."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.directivity import attenuation_db, half_angles_deg
from calc.acoustics.geometry import Grid, directions_from, grid_over
from calc.acoustics.weighting import a_weighting_db
from calc.constants import VOLT_OF_SENSITIVITY
from calc.prediction import AreaResult
from calc.system import AudienceArea, LoudspeakerSheet, Placement, Surroundings, Way

SILENCE_DB = 0.0
"""Written where nothing arrives: the threshold of hearing."""

WITHIN_DB = 3.0
DB_TO_NEPER = math.log(10) / 10

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Source:
    """One way of a placement that can be drawn: its level on the axis at 1 m per band.

    `on_axis_db` (bands,) is -inf in the bands that it does not play.
    """

    placement: Placement
    on_axis_db: Floats
    half_h_deg: Floats
    half_v_deg: Floats


def missing_for_map(way: Way) -> str:
    """Which figure keeps a way out of the map; "" when it can be drawn."""
    needed = {
        "sensitivity": way.sensitivity_db,
        "lowest frequency": way.low_hz,
        "highest frequency": way.high_hz,
        "horizontal coverage angle": way.coverage_h_deg,
        "vertical coverage angle": way.coverage_v_deg,
    }
    if way.sensitivity_basis == "1 W":
        needed["rated impedance"] = way.rated_impedance_ohm
    return next((name for name, figure in needed.items() if not figure.known), "")


def band_levels_db(way: Way, volts: float) -> Floats:
    """Pink noise at 1 m on the axis per computed band, shape (26,); -inf outside of the way.

    The noise has `volts` rms spread evenly over the third-octave bands of the way. The stated
    sensitivity is for 1 W in the rated impedance or for 2.83 V.
    """
    sensitivity, low, high = way.sensitivity_db.value, way.low_hz.value, way.high_hz.value
    assert sensitivity is not None and low is not None and high is not None
    reference = VOLT_OF_SENSITIVITY
    if way.sensitivity_basis == "1 W":
        assert way.rated_impedance_ohm.value is not None
        reference = math.sqrt(way.rated_impedance_ohm.value)
    count = bands.number_of(high) - bands.number_of(low) + 1
    total = sensitivity + 20 * math.log10(volts / reference)
    levels = np.full(len(bands.band_numbers()), -np.inf)
    levels[bands.between(low, high)] = total - 10 * math.log10(count)
    return levels


def source_of(
    placement: Placement, sheet: LoudspeakerSheet, way: Way, volts: float, air: Surroundings
) -> Source:
    """A way of a placement as a source; every figure that `missing_for_map` names is known."""
    frequency, speed = bands.mid_bands_hz(), speed_of_sound(air.temperature_c)
    across, up = way.coverage_h_deg.value, way.coverage_v_deg.value
    assert across is not None and up is not None
    return Source(
        placement,
        band_levels_db(way, volts),
        half_angles_deg(across, sheet.width_m.value, frequency, speed),
        half_angles_deg(up, sheet.height_m.value, frequency, speed),
    )


def band_energy(sources: Sequence[Source], points: Floats, air: Surroundings) -> Floats:
    """Energy sum of all sources, (points, bands), re (20 uPa)^2."""
    loss = loss_db_per_m(bands.mid_bands_hz(), air)
    energy = np.zeros((len(points), len(loss)))
    for source in sources:
        directions = directions_from(source.placement, points)
        plays = np.isfinite(source.on_axis_db)
        level = (
            source.on_axis_db[plays]
            - 20 * np.log10(directions.distance_m)[:, None]
            - directions.distance_m[:, None] * loss[plays]
            - attenuation_db(directions, source.half_h_deg[plays], source.half_v_deg[plays])
        )
        energy[:, plays] += np.exp(level * DB_TO_NEPER)
    return energy


def area_result(
    area: AudienceArea, sources: Sequence[Source], air: Surroundings, spacing_m: float
) -> AreaResult | None:
    """Levels over one area; None when no point of the grid lies inside of it."""
    grid = grid_over(area, spacing_m)
    points = grid.points()
    if not len(points):
        return None
    energy = band_energy(sources, points, air)
    weights = 10 ** (a_weighting_db(bands.mid_bands_hz()) / 10)
    a, z = _level(energy @ weights), _level(energy.sum(axis=1))
    mid = _level(energy[:, bands.MIDS].sum(axis=1))
    loudest, quietest = int(a.argmax()), int(a.argmin())
    mean_mid = float(mid.mean())
    return AreaResult(
        name=area.name,
        x_m=tuple(grid.x.tolist()),
        y_m=tuple(grid.y.tolist()),
        level_a_db=_rows(grid, a),
        level_z_db=_rows(grid, z),
        level_mid_db=_rows(grid, mid),
        mean_a_db=float(_level((energy @ weights).mean(keepdims=True))[0]),
        loudest_a_db=float(a[loudest]),
        loudest_at_m=(float(points[loudest, 0]), float(points[loudest, 1])),
        quietest_a_db=float(a[quietest]),
        quietest_at_m=(float(points[quietest, 0]), float(points[quietest, 1])),
        mean_mid_db=mean_mid,
        spread_mid_db=float(mid.max() - mid.min()),
        share_within_3_db=float(np.mean(np.abs(mid - mean_mid) <= WITHIN_DB)),
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        mean_spectrum_db=tuple(_level(energy.mean(axis=0)).tolist()),
    )


def area_results(
    areas: Sequence[AudienceArea],
    sources: Sequence[Source],
    air: Surroundings,
    spacing_m: float,
    told: Callable[[str], None],
) -> dict[str, AreaResult | None]:
    """Levels over all areas by name, telling each name before it is worked on."""
    results = {}
    for area in areas:
        told(area.name)
        results[area.name] = area_result(area, sources, air, spacing_m)
    return results


def _level(energy: Floats) -> Floats:
    return 10 * np.log10(np.maximum(energy, 10 ** (SILENCE_DB / 10)))


def _rows(grid: Grid, values: Floats) -> tuple[tuple[float | None, ...], ...]:
    full = np.full(grid.inside.shape, None, dtype=object)
    full[grid.inside] = values.tolist()
    return tuple(tuple(row) for row in full.tolist())
