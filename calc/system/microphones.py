"""Microphones on stage that the rig makes louder."""

from dataclasses import dataclass
from typing import Literal

from calc.figure import UNKNOWN, Figure

Pattern = Literal[
    "omnidirectional",
    "wide cardioid",
    "cardioid",
    "supercardioid",
    "hypercardioid",
    "figure of eight",
    "unknown",
]


@dataclass(frozen=True, slots=True)
class StageMicrophone:
    """One microphone at its show place (m), its front aimed as a box's is (deg).

    `source_m` is how far the mouth or the instrument is from it. `is_open` says whether it is
    open together with the others: it counts among the open microphones. `not_played_by` are the
    drive lines that it does not go to. `equivalent_m` is how near its source shall seem to the
    farthest listener; None: as the event's other ones (`Choices.equivalent_distance_m`).
    """

    name: str
    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float
    tilt_deg: float = 0.0
    pattern: Pattern = "unknown"
    source_m: Figure = UNKNOWN
    is_open: bool = True
    not_played_by: tuple[str, ...] = ()
    equivalent_m: float | None = None
