"""When a reference arrives in a recording, to the sample.

Everything that needs a delay asks here. It finds what a transfer function needs, quickly; how much
later one arrival is than another, to a fraction of a sample, `calc.signals.arrival` tells.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

FIRST_LOOK = 1 << 17
BAND_HZ = (200.0, 8000.0)
"""Hz. Where every loudspeaker but a sub plays; it widens downwards where nothing is found."""

CLEAR = 12.0
"""1. The peak stands so far above the rms of the rest: noise alone gets to 5."""


@dataclass(frozen=True, slots=True)
class Found:
    """How many samples later the recording has the reference; `clear` if beyond doubt."""

    samples: int
    clear: bool


def found_in(reference: NDArray, measured: NDArray, sampling_hz: float) -> Found:
    """The delay of `measured` (n,) against `reference` (m,), of either sign.

    A few seconds are looked at first, then all of it, then all of it from 20 Hz up.
    """
    whole = min(len(reference), len(measured))
    found = Found(0, False)
    for length, band in ((FIRST_LOOK, BAND_HZ), (whole, BAND_HZ), (whole, (20.0, BAND_HZ[1]))):
        size = min(length, whole)
        start = _loudest(reference[:whole], size)
        found = _peak(
            reference[start : start + size], measured[start : start + size], sampling_hz, band
        )
        if found.clear:
            break
    return found


def _loudest(reference: NDArray, size: int) -> int:
    """Where the stretch of the reference with most energy starts, in steps of its own size."""
    if len(reference) < 2 * size:
        return 0
    steps = [
        float(np.dot(part, part))
        for part in (reference[a : a + size : 16] for a in range(0, len(reference) - size, size))
    ]
    return int(np.argmax(steps)) * size


def _peak(
    reference: NDArray, measured: NDArray, sampling_hz: float, band_hz: tuple[float, float]
) -> Found:
    """The highest peak, of either sign, of the correlation of phases within a band."""
    size = fft.next_fast_len(2 * len(reference), real=True)
    cross = fft.rfft(np.asarray(measured, np.float32), size)
    cross *= np.conj(fft.rfft(np.asarray(reference, np.float32), size))
    strength = np.abs(cross)
    low, high = (round(hz * size / sampling_hz) for hz in band_hz)
    cross[:low] = 0
    cross[high:] = 0
    cross /= strength + 1e-6 * float(strength.max(initial=0.0)) + 1e-30
    likeness = np.abs(fft.irfft(cross, size))
    at = int(likeness.argmax())
    rest = float(np.sqrt(np.mean(likeness**2)))
    later = at if at <= size // 2 else at - size
    return Found(later, bool(likeness[at] > CLEAR * rest))
