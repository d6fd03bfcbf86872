"""What `calc` is asked about: one event's sound system, frozen.

Everything refers to everything else by name: a drive line names its amplifier place, the
amplifier place names its sheet. Names are unique within their kind. SI units throughout;
each field's name ends with its unit. Positions are metres in the space's own axes: seen from
above, y points away from the stage into the audience, x to the right of someone who looks
along y, z up. Azimuth 0 looks along y and grows clockwise seen from above (towards +x); tilt is
positive upwards.
"""

from dataclasses import dataclass, field
from typing import Literal

from calc.figure import UNKNOWN, Figure

FORMAT = 1

Mode = Literal["per channel", "bridged", "parallel"]
ConductorClass = Literal["1/2", "5", "5 tinned", "unknown"]
SensitivityBasis = Literal["1 W", "2.83 V"]
MinimumKind = Literal["rated", "true"]
Role = Literal["top", "sub", "monitor", "fill", "line element"]


@dataclass(frozen=True, slots=True)
class Way:
    """One separately driven band of a loudspeaker. Terms as in IEC 60268-5."""

    name: str
    rated_impedance_ohm: Figure
    minimum_impedance_ohm: Figure
    noise_power_w: Figure
    peak_power_w: Figure
    sensitivity_db: Figure
    sensitivity_basis: SensitivityBasis
    low_hz: Figure
    high_hz: Figure
    coverage_h_deg: Figure
    coverage_v_deg: Figure


@dataclass(frozen=True, slots=True)
class LoudspeakerSheet:
    """A loudspeaker's data sheet; `role` decides which damping factor is wished for."""

    name: str
    role: Role
    ways: tuple[Way, ...]
    mass_kg: Figure = UNKNOWN
    width_m: Figure = UNKNOWN
    height_m: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class Rating:
    """Sine power of one channel (or bridged pair) into one rated load."""

    mode: Mode
    load_ohm: float
    power_w: Figure


@dataclass(frozen=True, slots=True)
class ModeLimits:
    """What one mode demands: least load, and how much its gain differs from one channel's."""

    mode: Mode
    minimum_load_ohm: Figure
    minimum_kind: MinimumKind
    extra_gain_db: float


@dataclass(frozen=True, slots=True)
class AmplifierSheet:
    """An amplifier's data sheet.

    Gain is stated as `gain_db`, or as the input voltage `sensitivity_v` that gives full power
    into `sensitivity_load_ohm` in per-channel mode. `damping_factor` is re 8 ohm.
    """

    name: str
    channels: int
    ratings: tuple[Rating, ...]
    modes: tuple[ModeLimits, ...]
    gain_db: Figure = UNKNOWN
    sensitivity_v: Figure = UNKNOWN
    sensitivity_load_ohm: Figure = UNKNOWN
    damping_factor: Figure = UNKNOWN
    mains_v: Figure = UNKNOWN
    idle_w: Figure = UNKNOWN
    eighth_power_w: Figure = UNKNOWN
    power_factor: Figure = UNKNOWN
    inrush_a: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class CableSheet:
    """A loudspeaker cable of one length. Area in mm2 of one conductor."""

    name: str
    area_mm2: Figure
    conductor_class: ConductorClass
    length_m: Figure
    pole_pairs: int


@dataclass(frozen=True, slots=True)
class ProcessorSheet:
    """A loudspeaker processor; `limiter_step_db` is the finest step of its thresholds."""

    name: str
    inputs: int
    outputs: int
    max_output_dbu: Figure = UNKNOWN
    limiter_step_db: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class AmplifierPlace:
    """One amplifier that travels to the event, with the unit when it is chosen."""

    name: str
    rack: str
    sheet: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ProcessorPlace:
    """One processor that travels to the event."""

    name: str
    sheet: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Placement:
    """One loudspeaker at a position (m) with an aim (deg)."""

    name: str
    sheet: str
    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float
    tilt_deg: float
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A box on a drive line and the cable that leads to it.

    The cable starts at the box before (`from_amplifier` False: a link from box to box) or at
    the amplifier. The first link always starts at the amplifier. `pieces` cables of the same
    kind stand in series. `cable` is "" when nobody said which cable: that cannot be checked.
    """

    placement: str
    way: str
    cable: str
    pieces: int
    from_amplifier: bool


@dataclass(frozen=True, slots=True)
class DriveLine:
    """Processor output -> amplifier channel -> cable runs -> loudspeakers in parallel.

    `first_channel` counts from 1; a bridged line takes it and the next one.
    `level_control_db` is 0 fully up and negative below.
    """

    name: str
    processor: str
    output: int | None
    amplifier: str
    first_channel: int
    mode: Mode
    level_control_db: float
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class AudienceArea:
    """A plane of listeners: polygon corners (x, y) in m, seen from above.

    `floor_z_m` is the floor height at the corner that lies lowest along the rake; the floor
    rises by `rake_deg` in the direction `rake_azimuth_deg`. Ears are `ear_height_m` above it.
    """

    name: str
    corners: tuple[tuple[float, float], ...]
    floor_z_m: float
    ear_height_m: float
    rake_deg: float = 0.0
    rake_azimuth_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Supply:
    """A mains supply at the venue."""

    name: str
    phases: int
    amps_per_phase: Figure
    voltage_v: Figure
    generator: bool


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The air at show time."""

    temperature_c: float = 20.0
    humidity_pct: float = 50.0
    pressure_kpa: float = 101.325


@dataclass(frozen=True, slots=True)
class Choices:
    """What the user may choose, with the house defaults (docs/glossary.md says why)."""

    crest_factor_db: float = 12.0
    cable_temperature_c: float = 40.0
    conductor_resistance: Literal["maximum", "nominal"] = "maximum"
    grid_spacing_m: float = 1.0


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
