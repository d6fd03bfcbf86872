"""Curves to aim at in the room. Only the shape counts: a target has no level of its own."""

from dataclasses import dataclass

import numpy as np

from calc.signals.equalise.peaks import Floats


@dataclass(frozen=True, slots=True)
class TargetCurve:
    """Control points: `frequency_hz` rising from above 0, `level_db` for each.

    Between points it goes straight over the logarithm of the frequency, and beyond the ends it
    stays.
    """

    name: str
    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.frequency_hz or len(self.frequency_hz) != len(self.level_db):
            raise ValueError("a target has at least one point, and a level for every frequency")
        hz = np.array(self.frequency_hz)
        if not np.isfinite([*hz, *self.level_db]).all():
            raise ValueError("a target's points are numbers")
        if hz[0] <= 0 or (np.diff(hz) <= 0).any():
            raise ValueError("a target's frequencies rise, from above 0 Hz")

    def at(self, hz: Floats) -> Floats:
        """Level in dB at frequencies above 0."""
        return np.interp(np.log(hz), np.log(self.frequency_hz), self.level_db)


FLAT = TargetCurve("flat", (1000.0,), (0.0,))
GENTLE_SLOPE = TargetCurve(
    "gentle slope", (20.0, 100.0, 1000.0, 10_000.0, 20_000.0), (3.0, 3.0, 0.0, -3.0, -4.5)
)
SPEECH = TargetCurve(
    "speech", (60.0, 140.0, 2000.0, 8000.0, 16_000.0), (-6.0, 0.0, 0.0, -3.0, -6.0)
)
DANCE = TargetCurve(
    "dance", (30.0, 80.0, 150.0, 500.0, 2000.0, 10_000.0, 20_000.0),
    (8.0, 8.0, 4.0, 0.0, 0.0, -3.0, -5.0),
)  # fmt: skip
OWN = (FLAT, GENTLE_SLOPE, SPEECH, DANCE)
"""Our own set, by custom and ear, no source: bass rises for music only, and the top falls."""
