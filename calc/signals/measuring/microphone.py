"""What is known of a measuring microphone: its curve, and what full scale is in sound level."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Microphone:
    """A calibration.

    `level_db` is what the microphone reads too much at `frequency_hz` (rising, above 0); both are
    empty for one without a curve. Between its points it goes straight over the logarithm of the
    frequency, and beyond its ends it stays. `full_scale_db` is the sound level, dB re 20 uPa, of a
    signal whose rms is full scale; None: levels are relative only.
    """

    frequency_hz: tuple[float, ...] = ()
    level_db: tuple[float, ...] = ()
    full_scale_db: float | None = None

    def __post_init__(self) -> None:
        if len(self.frequency_hz) != len(self.level_db):
            raise ValueError("a microphone's curve has a level for every frequency")
        hz = np.array(self.frequency_hz)
        if len(hz) and (hz[0] <= 0 or (np.diff(hz) <= 0).any()):
            raise ValueError("the frequencies of a microphone's curve rise, from above 0 Hz")

    def at(self, hz: Floats) -> Floats:
        """What it reads too much at frequencies above 0, dB; 0 without a curve."""
        if not self.frequency_hz:
            return np.zeros(np.shape(hz))
        return np.interp(np.log(hz), np.log(self.frequency_hz), self.level_db)
