"""First-order microphone patterns: a share that hears pressure, the rest its gradient."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from calc.system import Pattern

Floats = NDArray[np.float64]

PRESSURE_SHARE: Mapping[Pattern, float] = {
    "omnidirectional": 1.0,
    "wide cardioid": 0.7,  # between all round and a cardioid; common practice, no source
    "cardioid": 0.5,
    "supercardioid": (3**0.5 - 1) / 2,
    "hypercardioid": 0.25,
    "figure of eight": 0.0,
    "unknown": 1.0,
}
"""a of a + (1 - a) cos(angle). MATH: greatest front over back energy for the supercardioid, least
share of the energy from all round for the hypercardioid. Unknown counts as all round, since no
pattern takes in more from any side."""

DEEPEST = 0.1
"""No real microphone is deafer than 20 dB in its null. Common practice, no source."""


def heard(pattern: Pattern, cosine: Floats) -> Floats:
    """Pressure re the front for sound that arrives at an angle, negative where it is reversed."""
    share = PRESSURE_SHARE[pattern]
    ideal = share + (1 - share) * np.clip(cosine, -1.0, 1.0)
    return np.where(ideal < 0, -1.0, 1.0) * np.maximum(np.abs(ideal), DEEPEST)


def from_all_round(pattern: Pattern) -> float:
    """Energy taken in from sound all round, re that of a microphone that hears all of it."""
    share = PRESSURE_SHARE[pattern]
    return share**2 + (1 - share) ** 2 / 3


def null_deg(pattern: Pattern) -> float | None:
    """Angle off the front where it hears least; None for a microphone that hears all round."""
    share = PRESSURE_SHARE[pattern]
    if share > 0.9:
        return None
    return float(np.degrees(np.arccos(max(-1.0, -share / (1 - share)))))
