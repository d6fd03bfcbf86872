"""A rigid round piston in an endless baffle: nothing behind it, 2 J1(x)/x in front."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import j1

from calc.acoustics import bands
from calc.acoustics.directivity.table import (
    AZIMUTHS,
    FLOOR_DB,
    STEP_DEG,
    Table,
    azimuth_grid_deg,
    polar_grid_deg,
)
from calc.system import Balloon

Floats = NDArray[np.float64]


def piston_pressure(ka: Floats, polar_deg: Floats) -> Floats:
    """Pressure re the axis, shape (ka, polars): 2 J1(ka sin t) / (ka sin t), 0 behind.

    Parameters
    ----------
    ka : array
        Wave number times the piston's radius.
    polar_deg : array
        0 to 180; the baffle's own plane (90) still belongs to the front.
    """
    angle = np.asarray(polar_deg, dtype=np.float64)
    x = np.multiply.outer(np.asarray(ka, dtype=np.float64), np.sin(np.radians(angle)))
    safe = np.where(np.abs(x) < 1e-6, 1.0, x)
    pressure = np.where(np.abs(x) < 1e-6, 1.0, 2 * j1(safe) / safe)
    return np.where(angle > 90, 0.0, pressure)


def _ka(diameter_m: float, speed_m_s: float) -> Floats:
    return np.pi * bands.mid_bands_hz() * diameter_m / speed_m_s


def piston_table(diameter_m: float, speed_m_s: float) -> Table:
    """A piston on the grid for all computed bands."""
    if not diameter_m > 0:
        raise ValueError("a piston needs a diameter above 0")
    pressure = piston_pressure(_ka(diameter_m, speed_m_s), polar_grid_deg())
    whole = np.repeat(pressure[:, None], len(azimuth_grid_deg()), axis=1)
    return whole.astype(np.complex64)


def piston_balloon(diameter_m: float, speed_m_s: float) -> Balloon:
    """The same as a description's balloon; side lobes are there with their sign as phase."""
    pressure = piston_table(diameter_m, speed_m_s)[:, :AZIMUTHS].real.astype(np.float64)
    level = 20 * np.log10(np.maximum(np.abs(pressure), 10 ** (FLOOR_DB / 20)))
    return Balloon(
        band_hz=tuple(bands.mid_bands_hz().tolist()),
        polar_deg=tuple(polar_grid_deg().tolist()),
        azimuth_deg=tuple((STEP_DEG * np.arange(AZIMUTHS)).tolist()),
        level_db=nested(level),
        phase_deg=nested(np.where(pressure < 0, 180.0, 0.0)),
        basis="assumed",
    )


def nested(values: Floats) -> tuple[tuple[tuple[float, ...], ...], ...]:
    """An array of three axes as tuples."""
    return tuple(tuple(map(tuple, rows)) for rows in values.tolist())
