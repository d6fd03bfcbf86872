"""Everything that follows from one description."""

from dataclasses import dataclass

from calc.prediction.feedback import MicrophoneResult
from calc.prediction.findings import Finding
from calc.prediction.lines import LineResult
from calc.prediction.mains import AmplifierDraw, FeedResult, SupplyResult, SupportResult
from calc.prediction.processing import (
    AlignmentResult,
    CrossoverResult,
    DialInSheet,
    LineUpStep,
)
from calc.prediction.room import RoomResult
from calc.prediction.sound import AreaResult, Exposure, PlaceResult, RigLevels


@dataclass(frozen=True, slots=True)
class Prediction:
    """Everything that follows from one `SystemDescription`.

    `findings` are those about the rig as a whole, its areas and its supply; each line carries
    its own. `unchecked` says in sentences what was left out and why.
    `start_order` holds the steps of switching on in words, ready to show; the last one says how
    to switch off.
    """

    lines: tuple[LineResult, ...]
    areas: tuple[AreaResult, ...]
    draws: tuple[AmplifierDraw, ...]
    start_order: tuple[str, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    unchecked: tuple[str, ...]
    supplies: tuple[SupplyResult, ...] = ()
    feeds: tuple[FeedResult, ...] = ()
    supports: tuple[SupportResult, ...] = ()
    places: tuple[PlaceResult, ...] = ()
    levels: RigLevels | None = None
    room: RoomResult | None = None
    exposures: tuple[Exposure, ...] = ()
    sheets: tuple[DialInSheet, ...] = ()
    crossovers: tuple[CrossoverResult, ...] = ()
    alignments: tuple[AlignmentResult, ...] = ()
    line_up: tuple[LineUpStep, ...] = ()
    microphones: tuple[MicrophoneResult, ...] = ()
