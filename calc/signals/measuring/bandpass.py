"""How the energy of a response runs in each band: zero-phase filters in the frequency domain.

A band's lines alone are transformed back, to its complex envelope at a low rate. Silence is put
behind the response for the filters' ringing ahead of time to fall into; a filter that goes round
in a circle instead puts it into the response's end, where it passes for noise.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from calc.acoustics import bands

Floats = NDArray[np.float64]

PASS, STOP = 0.25, 0.75
"""In band widths from the middle: flat up to the first, nothing from the second on, and energies
of neighbours add up to 1. Class 1 of IEC 61260-1, third octaves by either mapping."""

STEEP = (0.44, 0.56)
"""The same for speech, where class 1 is not steep enough (IEC 60268-16 edition 5, C.4.2, READ)."""

RATE_HZ = 2000.0
"""Hz. Energies come so often at least, and less than twice as often."""

RINGING = 6.0
"""So many times 1 / bandwidth of the narrowest band are put behind the response."""


@dataclass(frozen=True, slots=True, eq=False)
class BandEnergy:
    """Energy of a band over time, (n,), `rate_hz` to the second, from the arrival on."""

    frequency_hz: float
    width_hz: float
    energy: Floats
    rate_hz: float


def middles_of(fraction: int, low_hz: float, high_hz: float) -> Floats:
    """Exact middles of the octaves (`fraction` 1) or thirds (3) from one nominal band to another.

    Raises
    ------
    ValueError
        Another fraction.
    """
    if fraction not in (1, 3):
        raise ValueError("bands are octaves (1) or one-third octaves (3)")
    step = 3 if fraction == 1 else 1
    first, last = bands.number_of(low_hz), bands.number_of(high_hz)
    if fraction == 1:
        first, last = 3 * math.ceil(first / 3), 3 * math.floor(last / 3)
    return np.array([bands.exact_hz(number) for number in range(first, last + 1, step)])


def energies(
    response: NDArray,
    sampling_hz: float,
    middles_hz: Floats,
    fraction: int,
    slope: tuple[float, float] = (PASS, STOP),
) -> Iterator[BandEnergy]:
    """One band after the other, of a response (n,) that begins with its arrival.

    A band that reaches beyond half the sampling rate comes without energy, shape (0,).
    """
    ratio = 10 ** (0.3 / fraction)
    narrowest = float(middles_hz.min()) * (ratio**0.5 - ratio**-0.5)
    size = fft.next_fast_len(len(response) + math.ceil(RINGING / narrowest * sampling_hz), True)
    spectrum = fft.rfft(np.asarray(response, np.float32), size)
    for middle in middles_hz:
        width = float(middle) * (ratio**0.5 - ratio**-0.5)
        if middle * ratio**0.5 > sampling_hz / 2:
            yield BandEnergy(float(middle), width, np.zeros(0), RATE_HZ)
            continue
        energy, rate = _band(spectrum, size, sampling_hz, float(middle), ratio, slope)
        energy = energy[: math.floor(len(response) / sampling_hz * rate)]
        yield BandEnergy(float(middle), width, *_coarse(energy, rate))


def _band(
    spectrum: NDArray,
    size: int,
    sampling_hz: float,
    middle: float,
    ratio: float,
    slope: tuple[float, float],
) -> tuple[NDArray[np.float32], float]:
    """Squared envelope over the padded time, and its rate."""
    step = sampling_hz / size
    first = math.ceil(middle * ratio ** -slope[1] / step)
    last = min(math.floor(middle * ratio ** slope[1] / step), len(spectrum) - 1)
    part = spectrum[first : last + 1] * _shape(first, last, step, middle, ratio, slope)
    least = math.ceil(size * RATE_HZ / sampling_hz)
    many = fft.next_fast_len(max(len(part), least))
    envelope = fft.ifft(part, many, overwrite_x=True)
    return envelope.real**2 + envelope.imag**2, many * sampling_hz / size


def _shape(
    first: int, last: int, step: float, middle: float, ratio: float, slope: tuple[float, float]
) -> NDArray[np.float32]:
    """Flat with quarter waves of a cosine over the logarithm of the frequency."""
    shape = np.ones(last - first + 1, dtype=np.float32)
    for side in (-1, 1):
        inner, outer = (middle * ratio ** (side * u) / step for u in slope)
        a, b = sorted((inner, outer))
        low, high = max(math.ceil(a), first), min(math.floor(b), last)
        lines = np.arange(low, high + 1)
        away = np.abs(np.log(lines * (step / middle))) / math.log(ratio)
        share = np.clip((away - slope[0]) / (slope[1] - slope[0]), 0, 1)
        shape[low - first : high - first + 1] = np.cos(np.pi / 2 * share)
    return shape


def _coarse(energy: NDArray[np.float32], rate: float) -> tuple[Floats, float]:
    """Summed over short blocks where the rate is higher than anyone needs."""
    block = max(1, int(rate / RATE_HZ))
    count = len(energy) // block
    summed: Floats = energy[: count * block].reshape(count, block).sum(axis=1, dtype=np.float64)
    return summed, rate / block
