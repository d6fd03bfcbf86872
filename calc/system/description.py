"""The frozen input of one check."""

from dataclasses import dataclass, field
from typing import Literal

from calc.constants import EQUIVALENT_DISTANCE_M
from calc.system.electronics import AmplifierSheet, CableSheet, MixerSheet, ProcessorSheet
from calc.system.loudspeakers import LoudspeakerSheet
from calc.system.mains import Circuit, ExtraLoad, RackFeed, Supply, Support
from calc.system.microphones import StageMicrophone
from calc.system.processing import (
    Alignment,
    ListeningSpot,
    MeasuredResponse,
    ProcessorOutput,
)
from calc.system.rig import AmplifierPlace, DriveLine, LimiterBasis, Placement, ProcessorPlace
from calc.system.venue import AudienceArea, ListeningPlace, Room, Show, Surroundings

FORMAT = 2


@dataclass(frozen=True, slots=True)
class Choices:
    """What the user may choose, with the house defaults (docs/glossary.md says why)."""

    crest_factor_db: float = 12.0
    cable_temperature_c: float = 40.0
    conductor_resistance: Literal["maximum", "nominal"] = "maximum"
    grid_spacing_m: float = 1.0
    limiter_basis: LimiterBasis = "continuous"
    limiter_basis_by: str = ""
    coherent_below_hz: float = 150.0
    equivalent_distance_m: float = EQUIVALENT_DISTANCE_M


@dataclass(frozen=True, slots=True)
class SystemDescription:
    """The frozen input of one check. Same description, same prediction."""

    event: str
    space: str = ""
    surroundings: Surroundings = field(default_factory=Surroundings)
    choices: Choices = field(default_factory=Choices)
    loudspeakers: tuple[LoudspeakerSheet, ...] = ()
    amplifiers: tuple[AmplifierSheet, ...] = ()
    cables: tuple[CableSheet, ...] = ()
    processors: tuple[ProcessorSheet, ...] = ()
    amplifier_places: tuple[AmplifierPlace, ...] = ()
    processor_places: tuple[ProcessorPlace, ...] = ()
    placements: tuple[Placement, ...] = ()
    drive_lines: tuple[DriveLine, ...] = ()
    areas: tuple[AudienceArea, ...] = ()
    supplies: tuple[Supply, ...] = ()
    format: int = FORMAT
    mixer: MixerSheet | None = None
    circuits: tuple[Circuit, ...] = ()
    rack_feeds: tuple[RackFeed, ...] = ()
    supports: tuple[Support, ...] = ()
    extra_loads: tuple[ExtraLoad, ...] = ()
    places: tuple[ListeningPlace, ...] = ()
    room: Room | None = None
    show: Show | None = None
    outputs: tuple[ProcessorOutput, ...] = ()
    spots: tuple[ListeningSpot, ...] = ()
    measured: tuple[MeasuredResponse, ...] = ()
    alignments: tuple[Alignment, ...] = ()
    microphones: tuple[StageMicrophone, ...] = ()
