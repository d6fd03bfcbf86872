"""Speech transmission index, IEC 60268-16 edition 5 (2020), male spectrum, indirect method.

The numbers below were READ in the source and tests of an open library that quotes the standard
clause by clause; the standard itself was not seen.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MODULATION_HZ = np.array(
    [0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5], dtype=np.float64
)
WEIGHTS = np.array([0.085, 0.127, 0.230, 0.233, 0.309, 0.224, 0.173])
REDUNDANCY = np.array([0.085, 0.078, 0.065, 0.011, 0.047, 0.095])
MALE_SPECTRUM_DB = np.array([-2.5, 0.5, 0.0, -6.0, -12.0, -18.0, -24.0])
"""Octave levels of the test signal re 500 Hz, 125 Hz to 8 kHz."""

RECEPTION_DB = np.array([46.0, 27.0, 12.0, 6.5, 7.5, 8.0, 12.0])
DECAY = 13.8
"""Clause C.3.3: m = 1 / |1 + j 2 pi F T / 13.8| of an exponential decay."""

RANGE_DB = 15.0
LETTERS = ("U", "J", "I", "H", "G", "F", "E", "D", "C", "B", "A", "A+")


def decay_transfer(decay_s: Floats) -> NDArray[np.complex128]:
    """Modulation that is left of an exponential decay, complex, (..., 14)."""
    late: NDArray[np.complex128] = 1 / (
        1 + 2j * np.pi * np.multiply.outer(np.asarray(decay_s), MODULATION_HZ) / DECAY
    )
    return late


def masking_db(level_db: Floats) -> Floats:
    """By how much an octave masks the next higher one, dB re its own level (negative)."""
    level = np.asarray(level_db, dtype=np.float64)
    return np.select(
        [level < 63, level < 67, level < 100],
        [0.5 * level - 65, 1.8 * level - 146.9, 0.5 * level - 59.8],
        -10.0,
    )


def transmission_index(
    modulation: Floats, speech_db: Floats, noise_db: Floats | None = None
) -> Floats:
    """Speech transmission index, 0 to 1.

    Parameters
    ----------
    modulation : (..., 7, 14)
        What is left of the modulation without noise, 0 to 1.
    speech_db : (..., 7)
        Octave levels of the speech at the ear, dB re 20 uPa.
    noise_db : (..., 7), optional
        Octave levels of the noise; None: silence (an upper bound).
    """
    speech = 10 ** (np.asarray(speech_db, dtype=np.float64) / 10)
    noise = np.zeros_like(speech) if noise_db is None else 10 ** (np.asarray(noise_db) / 10)
    total = speech + noise
    mask = np.zeros(np.broadcast_shapes(speech.shape, total.shape))
    lower = total[..., :-1]
    mask[..., 1:] = lower * 10 ** (masking_db(10 * np.log10(np.maximum(lower, 1e-12))) / 10)
    heard = speech / (total + mask + 10 ** (RECEPTION_DB / 10))
    return index_of(np.asarray(modulation) * heard[..., None])


def index_of(modulation: Floats) -> Floats:
    """The index of modulations (..., 7, 14) with noise and masking already in them."""
    clipped = np.clip(modulation, 1e-9, 1 - 1e-9)
    ratio = np.clip(10 * np.log10(clipped / (1 - clipped)), -RANGE_DB, RANGE_DB)
    bands = ((ratio + RANGE_DB) / (2 * RANGE_DB)).mean(axis=-1)
    pairs = np.sqrt(bands[..., :-1] * bands[..., 1:])
    index: Floats = np.clip(bands @ WEIGHTS - pairs @ REDUNDANCY, 0.0, 1.0)
    return index


def rating(index: float) -> str:
    """The standard's letter, U (bad) to A+ (excellent); they change at 0.36, 0.40, ... 0.76."""
    return LETTERS[int(np.searchsorted(np.arange(36, 77, 4) / 100, index + 1e-12, side="right"))]
