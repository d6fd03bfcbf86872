"""How loud it was, band by band, in the last seconds."""

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.tones.peaks import HIGHEST_HZ, LOWEST_HZ, Floats, Spectrum

KEPT_S, EVERY_S = 3.0, 0.1
BANDS_PER_OCTAVE = 12
EDGES_HZ: Floats = LOWEST_HZ * 2 ** (
    np.arange(np.log2(HIGHEST_HZ / LOWEST_HZ) * BANDS_PER_OCTAVE + 1) / BANDS_PER_OCTAVE
)
LEAST_DB = -127


class Past:
    """The highest level in each semitone, in whole dB, ten times a second."""

    def __init__(self) -> None:
        self._times: list[float] = []
        self._rows: list[NDArray[np.int8]] = []

    def keep(self, spectrum: Spectrum, time_s: float) -> None:
        """Remember a frame, unless one was just remembered."""
        if self._times and time_s - self._times[-1] < EVERY_S:
            return
        starts = np.minimum((EDGES_HZ / spectrum.line_hz).astype(int), len(spectrum.levels_db) - 1)
        highest = np.maximum.reduceat(spectrum.levels_db, starts)
        self._times.append(time_s)
        self._rows.append(np.maximum(highest, LEAST_DB).astype(np.int8))
        while time_s - self._times[0] > KEPT_S:
            del self._times[0], self._rows[0]

    def highest_db(self, hz: float, until_s: float) -> float:
        """Around a frequency, up to a time; far below everything where nothing was heard yet."""
        band = int(np.log2(hz / LOWEST_HZ) * BANDS_PER_OCTAVE)
        rows = [row for row, at in zip(self._rows, self._times, strict=True) if at <= until_s]
        if not rows:
            return float(LEAST_DB)
        near = slice(max(0, band - 1), band + 2)
        return float(max(int(row[near].max()) for row in rows))
