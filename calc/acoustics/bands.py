"""One-third-octave bands, IEC 61260-1, base ten."""

import math

import numpy as np
from numpy.typing import NDArray

LOWEST, HIGHEST = -13, 12
"""Band numbers of 50 Hz and 16 kHz; number 0 is 1 kHz."""

HALF_BAND = 0.05
"""lg of the ratio of a band's edge to its middle."""


def exact_hz(number: int) -> float:
    """Exact mid-band frequency of a band number, 1000 x 10^(n/10) Hz."""
    return float(1000 * 10 ** (number / 10))


def number_of(frequency_hz: float) -> int:
    """Number of the band that holds a frequency (above 0)."""
    return round(10 * math.log10(frequency_hz / 1000))


def band_numbers() -> range:
    """The bands that are computed: 50 Hz to 16 kHz."""
    return range(LOWEST, HIGHEST + 1)


def mid_bands_hz() -> NDArray[np.float64]:
    """Exact mid-band frequencies of the computed bands, shape (26,)."""
    return np.array([exact_hz(n) for n in band_numbers()])


def between(low_hz: float, high_hz: float) -> slice:
    """Indices of the computed bands from the one that holds `low_hz` to that of `high_hz`."""
    first = max(number_of(low_hz), LOWEST)
    last = min(number_of(high_hz), HIGHEST)
    return slice(first - LOWEST, max(last - LOWEST + 1, first - LOWEST))


MIDS = between(500, 4000)
"""Where speech and most of the music's clarity lie: 500 Hz to 4 kHz."""
