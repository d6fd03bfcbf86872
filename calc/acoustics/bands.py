"""One-third-octave bands, IEC 61260-1, base ten."""

import math

import numpy as np
from numpy.typing import NDArray

LOWEST, HIGHEST = -16, 13
"""Band numbers of 25 Hz and 20 kHz; number 0 is 1 kHz."""

LINES_PER_BAND = 3
LINES_PER_OCTAVE = 9

HALF_BAND = 0.05
"""lg of the ratio of a band's edge to its middle."""


def exact_hz(number: int) -> float:
    """Exact mid-band frequency of a band number, 1000 x 10^(n/10) Hz."""
    return float(1000 * 10 ** (number / 10))


OCTAVES = range(-9, 10, 3)
"""Third-octave band numbers in the middle of the octaves 125 Hz to 8 kHz."""


NOMINAL_OCTAVES = (125, 250, 500, 1000, 2000, 4000, 8000)
"""How people call them, ISO 266."""


def octave_bands_hz() -> NDArray[np.float64]:
    """Exact middles of the octaves 125 Hz to 8 kHz, shape (7,)."""
    return np.array([exact_hz(number) for number in OCTAVES])


def by_octave(energy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Energies of the computed thirds (last axis, 30) summed to the seven octaves."""
    first = OCTAVES.start - LOWEST - 1
    thirds = energy[..., first : first + 3 * len(OCTAVES)]
    whole: NDArray[np.float64] = thirds.reshape(*thirds.shape[:-1], len(OCTAVES), 3).sum(axis=-1)
    return whole


def number_of(frequency_hz: float) -> int:
    """Number of the band that holds a frequency (above 0)."""
    return round(10 * math.log10(frequency_hz / 1000))


def band_numbers() -> range:
    """The bands that are computed: 25 Hz to 20 kHz."""
    return range(LOWEST, HIGHEST + 1)


def mid_bands_hz() -> NDArray[np.float64]:
    """Exact mid-band frequencies of the computed bands, shape (30,)."""
    return np.array([exact_hz(n) for n in band_numbers()])


def lines_of(bands: range) -> NDArray[np.float64]:
    """Three frequencies inside each of a run of bands, shape (3 x bands,), in Hz.

    1000 x 2^(k/9) Hz: nine to the octave, so that a line's octave is a line again, which the
    field's arithmetic lives on. The bands are base ten and the lines base two; over the bands
    from 20 Hz to 20 kHz the middle line stays within 1.4 % of its band's middle, and each band
    (26 % wide) holds just its own three.
    """
    first, last = bands[0] * LINES_PER_BAND - 1, bands[-1] * LINES_PER_BAND + 1
    steps = np.arange(first, last + 1, dtype=np.float64)
    lines: NDArray[np.float64] = 1000 * 2 ** (steps / LINES_PER_OCTAVE)
    return lines


def between(low_hz: float, high_hz: float) -> slice:
    """Indices of the computed bands from the one that holds `low_hz` to that of `high_hz`."""
    first = max(number_of(low_hz), LOWEST)
    last = min(number_of(high_hz), HIGHEST)
    return slice(first - LOWEST, max(last - LOWEST + 1, first - LOWEST))


MIDS = between(500, 4000)
"""Where speech and most of the music's clarity lie: 500 Hz to 4 kHz."""
