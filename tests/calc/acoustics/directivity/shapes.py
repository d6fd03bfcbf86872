"""Balloons for tests."""

import numpy as np

from calc.acoustics.directivity.table import polar_grid_deg
from calc.system import Balloon


def balloon_of(level: np.ndarray, azimuth=None, **changes) -> Balloon:
    """One band at 1 kHz: levels (azimuths, polars), all round unless azimuths are given."""
    turn = np.arange(0.0, 360.0, 5.0) if azimuth is None else np.asarray(azimuth, dtype=float)
    fields = {
        "band_hz": (1000.0,),
        "polar_deg": tuple(polar_grid_deg().tolist()),
        "azimuth_deg": tuple(turn.tolist()),
        "level_db": (tuple(map(tuple, np.asarray(level, dtype=float).tolist())),),
    }
    return Balloon(**(fields | changes))


def slope(right: float = 0.05, up: float = 0.1) -> np.ndarray:
    """Levels that fall with the polar angle, (72, 37), mirrored left-right and up-down."""
    turn = np.radians(np.arange(0, 360, 5.0))[:, None]
    return -(right * np.cos(turn) ** 2 + up * np.sin(turn) ** 2) * polar_grid_deg()
