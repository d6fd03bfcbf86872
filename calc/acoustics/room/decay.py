"""How long sound stays: measured, or estimated from surfaces and volume."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m
from calc.system import Room, Surroundings

Floats = NDArray[np.float64]

DB_PER_NEPER_OF_POWER = 10 / math.log(10)
"""4.3429: from a level loss in dB/m to the m of the 4 m V term, per metre. MATH."""

CRITICAL = 0.057
"""Critical distance is 0.057 sqrt(Q V / T), V in m3 and T in s (handbooks; the constant that
follows from 24 ln 10 / c is 0.0566)."""

SCHROEDER = 2000.0
"""Hz. 2000 sqrt(T / V), Schroeder 1996, READ (abstract)."""


def air_area_m2(volume_m3: float, air: Surroundings) -> Floats:
    """4 m V of each octave, m2: what the air absorbs."""
    m = loss_db_per_m(bands.octave_bands_hz(), air) / DB_PER_NEPER_OF_POWER
    return 4 * m * volume_m3


def sabine_s(volume_m3: float, absorption_m2: Floats, speed_m_s: float) -> Floats:
    """Decay time by Sabine: 24 ln(10) / c x V / A, with A in m2, air included."""
    with np.errstate(divide="ignore"):
        return 24 * math.log(10) / speed_m_s * volume_m3 / np.asarray(absorption_m2)


def eyring_s(
    volume_m3: float, surface_m2: float, mean_absorption: Floats, air_m2: Floats, speed_m_s: float
) -> Floats:
    """Decay time by Eyring: Sabine's with A = -S ln(1 - mean absorption) + air."""
    with np.errstate(divide="ignore"):
        walls = -surface_m2 * np.log1p(-np.asarray(mean_absorption, dtype=np.float64))
    return sabine_s(volume_m3, walls + air_m2, speed_m_s)


def surfaces_of(room: Room) -> tuple[float, Floats] | None:
    """All surfaces (m2), and their mean absorption per octave (7,), NaN where unknown.

    None when there are none or an area is unknown.
    """
    areas = [surface.area_m2.value for surface in room.surfaces]
    known = [area for area in areas if area is not None]
    if not known or len(known) < len(areas):
        return None
    rows = np.array([[_or_nan(a) for a in surface.absorption] for surface in room.surfaces])
    total = float(sum(known))
    return total, (np.array(known)[:, None] * rows).sum(axis=0) / total


def measured_s(room: Room) -> Floats:
    """Measured decay per octave (7,), NaN where nobody measured."""
    if not room.decay_s:
        return np.full(len(bands.OCTAVES), np.nan)
    return np.array([_or_nan(value) for value in room.decay_s])


def critical_distance_m(q: Floats, volume_m3: float, decay_s: Floats) -> Floats:
    """Where direct and reverberant sound are equally loud, 0.057 sqrt(Q V / T)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        distance: Floats = CRITICAL * np.sqrt(q * volume_m3 / decay_s)
    return distance


def schroeder_hz(volume_m3: float, decay_s: float) -> float:
    """Below this single modes rule and no statistics hold: 2000 sqrt(T / V)."""
    return SCHROEDER * math.sqrt(decay_s / volume_m3)


def optional(values: Floats | Sequence[float]) -> tuple[float | None, ...]:
    """An array as figures, None where it holds no finite number."""
    return tuple(float(v) if math.isfinite(v) else None for v in values)


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value
