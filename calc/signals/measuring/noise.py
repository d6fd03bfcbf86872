"""The noise of a place while nothing plays."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calc.acoustics import bands
from calc.signals.measuring.levels import BandLevels, levels
from calc.signals.measuring.microphone import Microphone
from calc.signals.measuring.spectra import rows_of

Floats = NDArray[np.float64]

SHORTEST_S = 10.0
"""s. Common practice, no source: shorter ones catch a passing car or miss it."""

STEADY_DB = 6.0
"""dB. The loudest and quietest tenths of seconds of steady noise lie closer. Own choice."""


@dataclass(frozen=True, slots=True)
class BackgroundNoise:
    """Levels of the noise, its octaves from 125 Hz to 8 kHz, and how it comes and goes.

    `swing_db` lies between the levels that the loudest and the quietest tenth of seconds pass.
    """

    levels: BandLevels
    octave_db: tuple[float | None, ...]
    swing_db: float | None
    warnings: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()


def background_noise(
    samples: ArrayLike, sampling_hz: float, microphone: Microphone | None = None
) -> BackgroundNoise:
    """Noise of the first channel.

    Parameters
    ----------
    samples : (n,) or (channels, n)
        10 s at least, without anything that plays.
    """
    row = rows_of(samples)[0]
    found = levels(row, sampling_hz, microphone)[0]
    if found.seconds < SHORTEST_S:
        why = f"{found.seconds:.1f} s are too short for noise: record {SHORTEST_S:.0f} s at least."
        return BackgroundNoise(found, (None,) * len(bands.OCTAVES), None, cannot=(why,))
    swing = _swing_db(row, sampling_hz)
    warnings = []
    if swing > STEADY_DB:
        warnings.append(
            f"The noise is not steady: it comes and goes by {swing:.0f} dB. Record longer."
        )
    if microphone is None or microphone.full_scale_db is None:
        warnings.append("The microphone's level is unknown: these levels are relative only.")
    return BackgroundNoise(found, _octaves(found), swing, tuple(warnings), found.cannot)


def _octaves(found: BandLevels) -> tuple[float | None, ...]:
    """Sums of the three thirds of each octave."""
    first = bands.OCTAVES.start - bands.LOWEST - 1
    sums: list[float | None] = []
    for start in range(first, first + 3 * len(bands.OCTAVES), 3):
        thirds = [level for level in found.level_db[start : start + 3] if level is not None]
        total = sum(10 ** (level / 10) for level in thirds)
        sums.append(10 * math.log10(total) if len(thirds) == 3 and total else None)
    return tuple(sums)


def _swing_db(row: NDArray, sampling_hz: float) -> float:
    """Between the 90th and the 10th percentile of the levels of whole seconds."""
    second = int(sampling_hz)
    powers = [
        float(np.mean(np.square(row[a : a + second], dtype=np.float64)))
        for a in range(0, len(row) - second + 1, second)
    ]
    level = 10 * np.log10(np.maximum(powers, 1e-20))
    return float(np.percentile(level, 90) - np.percentile(level, 10))
