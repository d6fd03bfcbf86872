"""A- and C-weighting, IEC 61672-1."""

import numpy as np
from numpy.typing import NDArray

POLES_HZ = (20.598997, 107.65265, 737.86223, 12194.217)
"""The four pole frequencies, IEC 61672-1 annex E (rounded 20.6, 107.7, 737.9, 12194: READ)."""


def a_weighting_db(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """A-weighting in dB, 0 at 1 kHz.

    Parameters
    ----------
    frequency_hz : array
        Above 0; exact mid-bands for tabulated values.
    """
    return 20 * np.log10(_response(frequency_hz) / _response(np.array(1000.0)))


def c_weighting_db(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """C-weighting in dB, 0 at 1 kHz; frequencies as in `a_weighting_db`."""
    return 20 * np.log10(_c_response(frequency_hz) / _c_response(np.array(1000.0)))


def _c_response(f: NDArray[np.float64]) -> NDArray[np.float64]:
    low, _, _, high = POLES_HZ
    f_squared = np.asarray(f, dtype=np.float64) ** 2
    return high**2 * f_squared / ((f_squared + low**2) * (f_squared + high**2))


def _response(f: NDArray[np.float64]) -> NDArray[np.float64]:
    f1, f2, f3, f4 = POLES_HZ
    f_squared = np.asarray(f, dtype=np.float64) ** 2
    return (
        f4**2
        * f_squared**2
        / (
            (f_squared + f1**2)
            * np.sqrt((f_squared + f2**2) * (f_squared + f3**2))
            * (f_squared + f4**2)
        )
    )
