"""The packets' one bridge to `calc`: everything that they know of it passes through here."""

from collections.abc import Callable
from typing import Any

from calc import VERSION
from calc.acoustics.air import speed_of_sound
from calc.check import check
from calc.constants import METRES_PER_FOOT
from calc.prediction import (
    SEVERITY,
    AlignmentResult,
    AmplifierDraw,
    AreaResult,
    BoxResult,
    CrossoverResult,
    DialInSheet,
    EnteredValue,
    Exposure,
    FeedResult,
    Finding,
    GainLadder,
    LineResult,
    LineUpStep,
    MicrophoneResult,
    OutputSheet,
    PhaseResult,
    PlaceResult,
    Prediction,
    RigLevels,
    RoomResult,
    RunResult,
    SheetEntry,
    SupplyResult,
    SupportResult,
)
from calc.safety import ELECTRICITY, HEARING, HEAT, LIFTING
from calc.serialise import (
    differences,
    fingerprint,
    prediction_from_plain,
    system_from_plain,
    to_plain,
)
from calc.system import AmplifierPlace, AudienceArea, DriveLine, Placement, SystemDescription

__all__ = [
    "ELECTRICITY",
    "HEARING",
    "HEAT",
    "LIFTING",
    "METRES_PER_FOOT",
    "SEVERITY",
    "VERSION",
    "AlignmentResult",
    "AmplifierDraw",
    "AmplifierPlace",
    "AreaResult",
    "AudienceArea",
    "BoxResult",
    "CannotCompute",
    "CrossoverResult",
    "DialInSheet",
    "DriveLine",
    "EnteredValue",
    "Exposure",
    "FeedResult",
    "Finding",
    "GainLadder",
    "LineResult",
    "LineUpStep",
    "MicrophoneResult",
    "OutputSheet",
    "PhaseResult",
    "PlaceResult",
    "Placement",
    "Prediction",
    "RigLevels",
    "RoomResult",
    "RunResult",
    "SheetEntry",
    "SupplyResult",
    "SupportResult",
    "SystemDescription",
    "compute",
    "differences",
    "findings_of",
    "fingerprint",
    "prediction_from_plain",
    "speed_of_sound",
    "system_from_plain",
    "to_plain",
]

Progress = Callable[[int, int, str], None]
"""Told as (steps done, steps in all, what comes next)."""


class CannotCompute(ValueError):
    """The description has a fault that a person must mend; the text is for them."""


def compute(system: SystemDescription, progress: Progress | None = None) -> Prediction:
    """Check a system.

    Raises
    ------
    CannotCompute
        With a sentence that says what is wrong with the description.
    """
    try:
        return check(system, progress)
    except ValueError as fault:
        raise CannotCompute(str(fault)) from fault


def findings_of(prediction: Prediction) -> list[Finding]:
    """All findings: the lines' own, then those about the rig."""
    return [finding for line in prediction.lines for finding in line.findings] + list(
        prediction.findings
    )


def read_description(data: Any) -> SystemDescription:
    """A description from stored or given JSON.

    Raises
    ------
    CannotCompute
        With the place and the fault in words.
    """
    try:
        return system_from_plain(data)
    except (ValueError, RecursionError) as fault:
        raise CannotCompute(str(fault)) from fault
