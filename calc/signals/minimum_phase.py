"""The phase that goes with a level where the response is of minimum phase.

Of all responses with one level curve, that with the least delay has a phase which follows from
the level alone: the Hilbert transform of its logarithm, in Bode's form

    phase(f0) = 1/pi  integral of  dA/du  ln coth(|u| / 2)  du,   u = ln(f / f0),

A in nepers (Bode 1945, RECALL). A level that goes straight over the logarithm of the frequency,
as `calc.system.AxisResponse` reads it, has constant slopes, and each piece integrates in closed
form: no grid, no window, no wrapping round. Beyond the ends the outer slopes go on.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.special import spence

NEPER_DB = 20 / math.log(10)
END_OCTAVES = 0.5
"""Over so much at either end the slope is taken that goes on beyond it. Own choice."""

STEEPEST_DB_PER_OCTAVE = 48.0
"""No slope beyond an end is taken to be steeper: order 8. Own choice."""

Floats = NDArray[np.float64]


def minimum_phase_deg(frequency_hz: Floats, level_db: Floats, at_hz: Floats) -> Floats:
    """Phase in degrees, not wrapped, of the minimum-phase response with a given level.

    Parameters
    ----------
    frequency_hz : (n,)
        Rising, above 0; two at least.
    level_db : (n,)
    at_hz : (m,)
        Where the phase is wanted. Near and beyond the ends of the level it is a guess.

    Returns
    -------
    (m,) array
        A high pass has a positive phase, a low pass a negative one.
    """
    place = np.log(np.asarray(frequency_hz, dtype=np.float64))
    height = np.asarray(level_db, dtype=np.float64) / NEPER_DB
    inner = np.diff(height) / np.diff(place)
    low, high = (_end_slope(place, height, last) for last in (False, True))
    edges = _signed_integral(place - np.log(np.asarray(at_hz, dtype=np.float64))[:, None])
    whole = math.pi**2 / 4
    phase = np.diff(edges, axis=1) @ inner
    phase += low * (edges[:, 0] + whole) + high * (whole - edges[:, -1])
    return np.degrees(phase / math.pi)


def _end_slope(place: Floats, height: Floats, last: bool) -> float:
    """Nepers per neper of frequency over the outer half octave."""
    if last:
        place, height = -place[::-1], height[::-1]
    reach = place <= place[0] + END_OCTAVES * math.log(2) + 1e-9
    reach[1] = True
    slope = float(np.polyfit(place[reach], height[reach], 1)[0])
    most = STEEPEST_DB_PER_OCTAVE / NEPER_DB / math.log(2)
    return min(most, max(-most, -slope if last else slope))


def _signed_integral(x: Floats) -> Floats:
    """Integral of ln coth(|t| / 2) from 0 to x: odd, pi^2/4 at infinity.

    2 chi_2 stands for it (Legendre's chi function by two dilogarithms), from the series
    ln coth(t / 2) = 2 sum of e^(-(2n+1) t) / (2n + 1). MATH.
    """
    fall = np.exp(-np.abs(x))
    # scipy's spence(z) is the dilogarithm of 1 - z.
    left = math.pi**2 / 4 - (spence(1 - fall) - spence(1 + fall))
    signed: Floats = np.sign(x) * left
    return signed
