"""What a data sheet's page shows of a way's directivity."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.directivity.index import table_index_db
from calc.acoustics.directivity.table import POLARS, STEP_DEG, polar_grid_deg
from calc.acoustics.drawable import way_table
from calc.system import LoudspeakerSheet

EDGE_DB = 6.0
FURTHEST_DEG = 360.0
PLANES = {"horizontal": (0, 36), "vertical": (18, 54)}
"""Azimuth steps of the two sides of each plane."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DirectivitySummary:
    """Per band of `bands_hz`: index, -6 dB angles of both planes, and both polars.

    `source` is "balloon", "piston" or "nominal angles". A plane that never falls by 6 dB has 360
    degrees. Polars are levels in dB re the axis, (bands, angles), at `angles_deg` from -180 to 180,
    positive to the right and up.
    """

    source: str
    bands_hz: tuple[float, ...]
    index_db: tuple[float, ...]
    width_h_deg: tuple[float, ...]
    width_v_deg: tuple[float, ...]
    angles_deg: tuple[float, ...]
    horizontal_db: tuple[tuple[float, ...], ...]
    vertical_db: tuple[tuple[float, ...], ...]


def directivity_summary(
    sheet: LoudspeakerSheet, way_name: str, temperature_c: float = 20.0
) -> DirectivitySummary | None:
    """Index, angles and polars of one way; None where neither balloon nor angles are known.

    Raises
    ------
    ValueError
        No way is called so.
    """
    way = next((way for way in sheet.ways if way.name == way_name), None)
    if way is None:
        raise ValueError(f"'{sheet.name}' has no way '{way_name}'")
    source = "nominal angles"
    if way.balloon is not None:
        source = "balloon"
    elif way.piston_diameter_m.known:
        source = "piston"
    elif not (way.coverage_h_deg.known and way.coverage_v_deg.known):
        return None
    table = way_table(sheet, way, speed_of_sound(temperature_c))
    level = 20 * np.log10(np.maximum(np.abs(table.astype(np.complex128)), 1e-5))
    widths = {plane: _widths(level, *sides) for plane, sides in PLANES.items()}
    polars = {plane: _polars(level, *sides) for plane, sides in PLANES.items()}
    return DirectivitySummary(
        source=source,
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        index_db=tuple(table_index_db(table).tolist()),
        width_h_deg=widths["horizontal"],
        width_v_deg=widths["vertical"],
        angles_deg=tuple((STEP_DEG * np.arange(1 - POLARS, POLARS)).tolist()),
        horizontal_db=polars["horizontal"],
        vertical_db=polars["vertical"],
    )


def _polars(level: Floats, positive: int, negative: int) -> tuple[tuple[float, ...], ...]:
    whole = np.concatenate([level[:, negative, :0:-1], level[:, positive]], axis=1)
    return tuple(map(tuple, whole.tolist()))


def _widths(level: Floats, positive: int, negative: int) -> tuple[float, ...]:
    sides = (_edges(level[:, positive]), _edges(level[:, negative]))
    whole = sides[0] + sides[1]
    return tuple(np.where(np.isfinite(whole), whole, FURTHEST_DEG).tolist())


def _edges(level: Floats) -> Floats:
    """First angle at which each row lies 6 dB down, straight between its points; inf if never."""
    low = level <= -EDGE_DB
    first = np.argmax(low, axis=1)
    row = np.arange(len(level))
    before = level[row, np.maximum(first - 1, 0)]
    share = (before + EDGE_DB) / np.maximum(before - level[row, first], 1e-12)
    edge = polar_grid_deg()[np.maximum(first - 1, 0)] + STEP_DEG * share
    return np.where(low.any(axis=1), edge, np.inf)
