"""Level of peaking sections in a row over frequency, with its derivatives in closed form.

On a bilinear section everything depends on t = tan(pi f / fs) / tan(pi f0 / fs), on an analogue
one on t = f / f0, and with u = (t - 1/t)^2 its power is (u + A^2/Q^2) / (u + 1/(A Q)^2): the form
4 (phi - phi0)^2 + alpha^2 A^2 sin^2 w of the sections' power in phi = sin^2(w/2), divided by
sin^2 w. It cancels nowhere, also far below the sampling rate, where the cosine form stalls a fit.
As u = t^2 + 1/t^2 - 2, a filter's place is best told as the logarithm of that tangent; u's own
rounding, 1e-15, is nothing beside (A/Q)^2.
"""

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DB = 10 / math.log(10)
"""dB of a natural logarithm of power."""

PER_DB = math.log(10) / 40
"""ln A of one dB of gain: a section's A is the fourth root of its power gain. MATH."""


def place_of(hz: Floats | float, sampling_hz: float | None) -> Floats:
    """Where a frequency stands: ln tan(pi f / fs), or ln f of analogue filters.

    Parameters
    ----------
    hz : array
        Above 0 and, where there is a sampling rate, below half of it.
    """
    at = np.asarray(hz, dtype=np.float64)
    if sampling_hz is None:
        return np.log(at)
    return np.log(np.tan(np.pi * at / sampling_hz))


def hz_of(place: Floats, sampling_hz: float | None) -> Floats:
    """The frequency that stands there, Hz."""
    if sampling_hz is None:
        return np.exp(place)
    return np.arctan(np.exp(place)) * sampling_hz / np.pi


def level_db(place: Floats, peaks: Floats) -> Floats:
    """Sum of the peaks' levels in dB.

    Parameters
    ----------
    place : (n,)
        As `place_of` gives it.
    peaks : (..., peaks, 3)
        Place, gain in dB and ln Q of each.

    Returns
    -------
    (..., n) array
    """
    over, under, _ = _powers(place, peaks)
    level: Floats = DB * np.log(np.multiply.reduce(over / under, axis=-2))
    return level


def level_and_slopes(place: Floats, peaks: Floats) -> tuple[Floats, Floats]:
    """Level in dB (n,), and its derivatives by place, gain and ln Q of each, (peaks, 3, n)."""
    over, under, steep = _powers(place, peaks)
    lifted, lowered = _widths(peaks)
    slopes = np.empty((len(peaks), 3, len(place)))
    by_over, by_under = 1 / over, 1 / under
    level: Floats = DB * np.log(np.multiply.reduce(over * by_under, axis=0))
    np.multiply(by_under - by_over, steep, out=slopes[:, 0])
    by_over *= 2 * DB * lifted
    by_under *= 2 * DB * lowered
    np.multiply(by_over + by_under, PER_DB, out=slopes[:, 1])
    np.subtract(by_under, by_over, out=slopes[:, 2])
    return level, slopes


def _widths(peaks: Floats) -> tuple[Floats, Floats]:
    """(A/Q)^2 and 1/(A Q)^2, each (..., peaks, 1)."""
    swing = 2 * PER_DB * peaks[..., 1:2]
    narrow = -2 * peaks[..., 2:3]
    return np.exp(narrow + swing), np.exp(narrow - swing)


def _powers(place: Floats, peaks: Floats) -> tuple[Floats, Floats, Floats]:
    """Both sides of each section's power, and how steeply u falls with the place, times dB."""
    squared = np.exp(2 * place) * np.exp(-2 * peaks[..., 0:1])
    inverse = 1 / squared
    apart = squared + inverse - 2
    lifted, lowered = _widths(peaks)
    return apart + lifted, apart + lowered, 2 * DB * (squared - inverse)
