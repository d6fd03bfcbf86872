"""What `calc` answers: figures, findings, and what could not be checked and why."""

from calc.prediction.feedback import (
    GainChange,
    MicrophoneResult,
    ReachingBox,
)
from calc.prediction.findings import (
    SEVERITY,
    Finding,
    State,
)
from calc.prediction.lines import (
    BoxResult,
    GainLadder,
    GainStage,
    LineResult,
    RunResult,
)
from calc.prediction.mains import (
    AmplifierDraw,
    FeedResult,
    PhaseResult,
    PlannedRack,
    SupplyResult,
    SupportResult,
)
from calc.prediction.processing import (
    AlignmentResult,
    CrossoverResult,
    DialInSheet,
    EnteredValue,
    LineUpStep,
    OutputSheet,
    SheetEntry,
)
from calc.prediction.room import (
    RoomResult,
    SpeechResult,
)
from calc.prediction.sound import (
    AreaResult,
    Exposure,
    LineLevel,
    PlaceResult,
    RigLevels,
)
from calc.prediction.whole import (
    Prediction,
)

__all__ = [
    "SEVERITY",
    "AlignmentResult",
    "AmplifierDraw",
    "AreaResult",
    "BoxResult",
    "CrossoverResult",
    "DialInSheet",
    "EnteredValue",
    "Exposure",
    "FeedResult",
    "Finding",
    "GainChange",
    "GainLadder",
    "GainStage",
    "LineLevel",
    "LineResult",
    "LineUpStep",
    "MicrophoneResult",
    "OutputSheet",
    "PhaseResult",
    "PlaceResult",
    "PlannedRack",
    "Prediction",
    "ReachingBox",
    "RigLevels",
    "RoomResult",
    "RunResult",
    "SheetEntry",
    "SpeechResult",
    "State",
    "SupplyResult",
    "SupportResult",
]
