"""The complex sum of an array's boxes in any direction. Each box radiates all round."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.geometry import NEAREST_M

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Elements:
    """Boxes as arrays: `position_m` (boxes, 3), `delay_s` (boxes,), `sign` (boxes,) 1 or -1."""

    position_m: Floats
    delay_s: Floats
    sign: Floats

    @property
    def middle(self) -> Floats:
        """Mean of the positions, (3,)."""
        middle: Floats = self.position_m.mean(axis=0)
        return middle


def direction_of(azimuth_deg: float | Floats) -> Floats:
    """Unit vectors along the floor, (..., 3): 0 looks along y, clockwise seen from above."""
    turn = np.radians(np.asarray(azimuth_deg, dtype=np.float64))
    return np.stack([np.sin(turn), np.cos(turn), 0 * turn], axis=-1)


def far_sum(elements: Elements, directions: Floats, hz: Floats, speed_m_s: float) -> Complex:
    """Sum far away, re one box, (directions, frequencies).

    Parameters
    ----------
    directions : (n, 3)
        Unit vectors.
    hz : (m,)
    speed_m_s : float
    """
    ahead = directions @ (elements.position_m - elements.middle).T
    late = elements.delay_s - ahead / speed_m_s
    turns = np.exp(-2j * math.pi * late[:, None, :] * hz[:, None])
    total: Complex = turns @ elements.sign
    return total


def near_sum(elements: Elements, points: Floats, hz: Floats, speed_m_s: float) -> Complex:
    """Sum at points, re one box at 1 m, (points, frequencies); spherical waves, no air loss.

    Parameters
    ----------
    points : (n, 3)
        In m. Nearer than 0.5 m a box gets no louder.
    hz, speed_m_s
        As in `far_sum`.
    """
    away = np.linalg.norm(points[:, None, :] - elements.position_m, axis=2)
    late = elements.delay_s + away / speed_m_s
    turns = np.exp(-2j * math.pi * late[:, None, :] * hz[:, None])
    total: Complex = np.einsum("pfb,pb->pf", turns, elements.sign / np.maximum(away, NEAREST_M))
    return total


def band_power(field: Complex) -> Floats:
    """Mean power over the three lines of each band, from (..., 3 x bands) to (..., bands)."""
    power = np.abs(field) ** 2
    whole: Floats = power.reshape(*power.shape[:-1], -1, bands.LINES_PER_BAND).mean(axis=-1)
    return whole


def lines_in(bands_hz: Sequence[float]) -> Floats:
    """The three frequencies that stand for each third-octave band, (3 x bands,)."""
    numbers = [bands.number_of(hz) for hz in bands_hz]
    return np.concatenate([bands.lines_of(range(n, n + 1)) for n in numbers])


def all_round(radius_m: float | None, aim_deg: float, angles_deg: Floats) -> Floats:
    """Directions (far away) or offsets from the array's middle (near), (angles, 3)."""
    return direction_of(aim_deg + angles_deg) * (1.0 if radius_m is None else radius_m)


def sum_around(
    elements: Elements,
    offsets: Floats,
    radius_m: float | None,
    hz: Floats,
    speed_m_s: float,
) -> Complex:
    """The sum at `all_round`'s offsets."""
    if radius_m is None:
        return far_sum(elements, offsets, hz, speed_m_s)
    return near_sum(elements, elements.middle + offsets, hz, speed_m_s)
