"""A smooth shape from the nominal coverage angles of a data sheet.

Off the axis the level falls as -6 (theta / b)^2 dB, so that it is -6 dB at the edge of the
nominal coverage, where b is the half angle in the listener's direction: the radius of an
ellipse through half of the horizontal and half of the vertical nominal angle. It never falls
below -20 dB. A nominal angle holds down to the frequency at which a straight aperture as wide
as the box would radiate that angle, and widens as 1/f below. It is a drawing rule and no
measurement: lobes, and the back of a box, are only roughly right.
"""

import math

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.directivity.table import Table, azimuth_grid_deg, polar_grid_deg
from calc.constants import APERTURE_HALF_PRESSURE

EDGE_DB = 6.0
FLOOR_DB = 20.0
ALL_ROUND_DEG = 360.0

Floats = NDArray[np.float64]


def aperture_angle_deg(size_m: float, frequency_hz: Floats, speed_m_s: float) -> Floats:
    """-6 dB angle (both sides, deg) of a uniform straight aperture, in its narrow-angle form.

    From sin(x)/x = 1/2 at x = 1.8955 with x = pi size sin(angle / 2) / wavelength. The sine is
    replaced by its angle, so that angle x size x frequency is one constant (about 23 700
    deg m Hz at 20 degC) and the angle grows past 180 deg towards all round.
    """
    constant = 2 * math.degrees(APERTURE_HALF_PRESSURE / math.pi) * speed_m_s
    return constant / (size_m * np.asarray(frequency_hz, dtype=np.float64))


def half_angles_deg(
    nominal_deg: float, size_m: float | None, frequency_hz: Floats, speed_m_s: float
) -> Floats:
    """Half coverage angle per frequency in deg; infinite where a box radiates all round.

    Parameters
    ----------
    nominal_deg : float
        Above 0; 360 or more means all round.
    size_m : float or None
        Width for the horizontal, height for the vertical angle. None: the nominal angle is
        held at all frequencies.
    """
    if nominal_deg >= ALL_ROUND_DEG:
        return np.full(np.shape(frequency_hz), np.inf)
    if size_m is None:
        return np.full(np.shape(frequency_hz), nominal_deg / 2)
    widened = aperture_angle_deg(size_m, frequency_hz, speed_m_s)
    return np.maximum(nominal_deg, widened) / 2


def nominal_table(half_h_deg: Floats, half_v_deg: Floats) -> Table:
    """The shape on the 5-degree grid: pressure, (bands, azimuths, polars)."""
    azimuth = np.radians(azimuth_grid_deg())
    squared = EDGE_DB * polar_grid_deg() ** 2
    narrow = np.multiply.outer(half_h_deg**-2.0, np.cos(azimuth) ** 2)
    narrow += np.multiply.outer(half_v_deg**-2.0, np.sin(azimuth) ** 2)
    loss = np.minimum(narrow[:, :, None] * squared, FLOOR_DB)
    return (10 ** (-loss / 20)).astype(np.complex64)
