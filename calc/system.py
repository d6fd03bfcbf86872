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

from calc.figure import UNKNOWN, Basis, Figure

FORMAT = 1

Mode = Literal["per channel", "bridged", "parallel"]
ConductorClass = Literal["1/2", "5", "5 tinned", "unknown"]
SensitivityBasis = Literal["1 W", "2.83 V"]
MinimumKind = Literal["rated", "true"]
Role = Literal["top", "sub", "monitor", "fill", "line element"]
RatingSignal = Literal["continuous sine", "burst", "not stated"]
LimiterBasis = Literal["continuous", "programme"]
SupportKind = Literal["hang point", "stand", "truck"]
AreaKind = Literal["audience", "stage"]
PlaceKind = Literal["crew", "front row"]


@dataclass(frozen=True, slots=True)
class ImpedanceCurve:
    """Impedance over frequency, as measured or as drawn on a data sheet.

    `frequency_hz` rises; `magnitude_ohm` has one value for each. `phase_deg` (-90 to 90, positive
    when inductive) has one for each too, or is empty where nobody measured it: the magnitude
    alone then gives the lowest load that could be. Between the points the logarithm of the
    magnitude, and the phase, go straight over the logarithm of the frequency.
    """

    frequency_hz: tuple[float, ...]
    magnitude_ohm: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class Balloon:
    """How one way radiates, band by band: level re its axis in every direction.

    `polar_deg` is the angle from the aim, 0 to 180; `azimuth_deg` turns about the aim, 0 to the
    box's right (seen along its aim), 90 up: all round from 0, or only 0 to 90 (symmetric both
    ways), 0 to 180 (the lower half mirrors the upper) or -90 to 90 (the left mirrors the right).
    `level_db` (bands, azimuths, polars) is 0 on the axis; `phase_deg` likewise, or empty.
    """

    band_hz: tuple[float, ...]
    polar_deg: tuple[float, ...]
    azimuth_deg: tuple[float, ...]
    level_db: tuple[tuple[tuple[float, ...], ...], ...]
    phase_deg: tuple[tuple[tuple[float, ...], ...], ...] = ()
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class AxisResponse:
    """Level on the axis at 1 m over frequency, for the drive that the sensitivity is stated for.

    `frequency_hz` rises. Between the points it goes straight over the logarithm of the
    frequency; beyond its ends nothing is known and the way is silent.
    """

    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class Way:
    """One separately driven band of a loudspeaker. Terms as in IEC 60268-5.

    A box with several inputs has one way for each. `impedance_curve` counts before
    `minimum_impedance_ohm`. `programme_power_w` is used for limiters only where a named person
    decided so (`DriveLine.limiter_basis`). `pole_pair` (from 1) is the pair of the box's
    connector that feeds it.

    `balloon` counts before `piston_diameter_m` (a round piston in a baffle), that before the
    coverage angles. `axis_response` counts before `sensitivity_db`.
    """

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
    impedance_curve: ImpedanceCurve | None = None
    programme_power_w: Figure = UNKNOWN
    pole_pair: int = 1
    balloon: Balloon | None = None
    axis_response: AxisResponse | None = None
    piston_diameter_m: Figure = UNKNOWN


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
    """Sine power of one channel (or bridged pair) into one rated load.

    `signal` is what the power was stated for; a burst is more than the amplifier can hold.
    """

    mode: Mode
    load_ohm: float
    power_w: Figure
    signal: RatingSignal = "not stated"


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

    `idle_w`, `eighth_power_w` and `third_power_w` are what the whole amplifier takes from the
    mains at idle and at 1/8 and 1/3 of its rated power. `peak_v` is the highest instantaneous
    voltage of one channel, where stated; else the peak of its rated sine counts.
    `input_clip_dbu` is where its input stage clips, ahead of the level control;
    `output_noise_dbu` its own noise at the output of one channel, level control fully up.
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
    third_power_w: Figure = UNKNOWN
    peak_v: Figure = UNKNOWN
    input_clip_dbu: Figure = UNKNOWN
    output_noise_dbu: Figure = UNKNOWN


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
    """A loudspeaker processor; `limiter_step_db` is the finest step of its thresholds.

    `max_input_dbu` and `max_output_dbu` are where its input and output clip (sine, rms),
    `output_noise_dbu` is its own noise at an output.
    """

    name: str
    inputs: int
    outputs: int
    max_output_dbu: Figure = UNKNOWN
    limiter_step_db: Figure = UNKNOWN
    max_input_dbu: Figure = UNKNOWN
    output_noise_dbu: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class MixerSheet:
    """The mixer that feeds the processors: where its output clips (sine, rms), and its noise."""

    name: str
    max_output_dbu: Figure = UNKNOWN
    output_noise_dbu: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class AmplifierPlace:
    """One amplifier that travels to the event, with the unit when it is chosen.

    `gain_db` is the gain that its gain switch is set to, one channel, level control fully up;
    it counts before the sheet's gain or sensitivity. None: the sheet's. `linked_inputs`: one
    signal feeds all of its channels.
    """

    name: str
    rack: str
    sheet: str
    unit: str = ""
    gain_db: float | None = None
    linked_inputs: bool = False


@dataclass(frozen=True, slots=True)
class ProcessorPlace:
    """One processor that travels to the event."""

    name: str
    sheet: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Placement:
    """One loudspeaker at a position (m) with an aim (deg).

    `support` names the hang point or stand that bears it; "" when nobody said. `roll_deg` turns
    it about its aim, clockwise as seen from behind. Boxes of one `group` (an array, a stack of
    subs) add in phase; "" stands by itself.
    """

    name: str
    sheet: str
    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float
    tilt_deg: float
    unit: str = ""
    support: str = ""
    roll_deg: float = 0.0
    group: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A box on a drive line and the cable that leads to it.

    The cable starts at the box before (`from_amplifier` False: a link from box to box) or at
    the amplifier. The first link always starts at the amplifier. `pieces` cables of the same
    kind stand in series. `cable` is "" when nobody said which cable: that cannot be checked.

    With `series_with_previous` the box stands in series with the box before it: the same
    current flows through both, and its cable lies between the two. A box after them that is
    not in series starts where the first box of the series starts.
    """

    placement: str
    way: str
    cable: str
    pieces: int
    from_amplifier: bool
    series_with_previous: bool = False


@dataclass(frozen=True, slots=True)
class LineResponse:
    """What the processor's filters do on one output, re flat, over rising `frequency_hz`.

    `phase_deg` has one value for each frequency, unwrapped or not; empty is no turn at all. Beyond
    its ends the first and last values hold. Delay and polarity are not in it.
    """

    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class DriveLine:
    """Processor output -> amplifier channel -> cable runs -> loudspeakers.

    `first_channel` counts from 1; a bridged line takes it and the next one.
    `level_control_db` is 0 fully up and negative below. `processor_gain_db` is the gain from
    the processor's input to this output where the way plays; None: nobody said.
    `attack_ms` and `release_ms` are the limiter's times where somebody chose other ones than
    the rule gives. `limiter_basis` None is the event's (`Choices.limiter_basis`);
    "programme" needs the name of who decided it in `limiter_basis_by`.
    `nearest_listener_m` is how near an ear comes to its boxes; None: from the areas.
    `delay_ms` and `inverted` are the processor's delay and polarity of this output, `response`
    its filters; None: none, or nobody said.
    """

    name: str
    processor: str
    output: int | None
    amplifier: str
    first_channel: int
    mode: Mode
    level_control_db: float
    links: tuple[Link, ...]
    processor_gain_db: float | None = None
    attack_ms: float | None = None
    release_ms: float | None = None
    limiter_basis: LimiterBasis | None = None
    limiter_basis_by: str = ""
    nearest_listener_m: float | None = None
    delay_ms: float = 0.0
    inverted: bool = False
    response: LineResponse | None = None


@dataclass(frozen=True, slots=True)
class AudienceArea:
    """A plane of listeners: polygon corners (x, y) in m, seen from above.

    `floor_z_m` is the floor height at the corner that lies lowest along the rake; the floor
    rises by `rake_deg` in the direction `rake_azimuth_deg`. Ears are `ear_height_m` above it.
    A balcony is an area with a high floor. A `kind` of "stage" is drawn and told, but counts
    neither for evenness nor for the audience's exposure.
    """

    name: str
    corners: tuple[tuple[float, float], ...]
    floor_z_m: float
    ear_height_m: float
    rake_deg: float = 0.0
    rake_azimuth_deg: float = 0.0
    kind: AreaKind = "audience"


@dataclass(frozen=True, slots=True)
class ListeningPlace:
    """One pair of ears whose exposure counts: a crew member's place, the front row's middle.

    `z_m` is the height of the ears; `hours` how long somebody stays there at the show's level
    (unknown: the show's own hours).
    """

    name: str
    x_m: float
    y_m: float
    z_m: float
    kind: PlaceKind = "crew"
    hours: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class RoomSurface:
    """A surface of the room with its absorption (0 to 1) in the octaves 125 Hz to 8 kHz.

    `absorption` has seven values, None where unknown.
    """

    name: str
    area_m2: Figure
    absorption: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """The room around the areas; outdoors there is none.

    `decay_s` (measured, 60 dB) and `noise_db` (of the room with people and machines, no music)
    have seven values for the octaves 125 Hz to 8 kHz, None where unknown, or are empty.
    """

    volume_m3: Figure = UNKNOWN
    surfaces: tuple[RoomSurface, ...] = ()
    decay_s: tuple[float | None, ...] = ()
    noise_db: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Show:
    """What the event asks for.

    `target_dba` is the level wished for over the audience, `hours` how long the show is,
    `programme_dbu` the rms level of the programme at the processors' inputs, `speech_dba` the
    mean level of speech over the audience.
    """

    target_dba: Figure = UNKNOWN
    hours: Figure = UNKNOWN
    programme_dbu: Figure = UNKNOWN
    speech_dba: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class Supply:
    """A mains supply at the venue. `voltage_v` lies between a phase and neutral."""

    name: str
    phases: int
    amps_per_phase: Figure
    voltage_v: Figure
    generator: bool


@dataclass(frozen=True, slots=True)
class Circuit:
    """A socket of a supply with its own breaker, on one phase (counted from 1).

    `phase` None: nobody knows which phase it hangs on.
    """

    name: str
    supply: str
    phase: int | None
    breaker_a: Figure


@dataclass(frozen=True, slots=True)
class RackFeed:
    """The one mains cable to a rack, single phase.

    `rack` is a rack's name, or an amplifier place's where that amplifier is plugged by itself.
    `phase` counts from 1; None: not plugged yet, let the plan choose. `circuit` "" is the supply
    itself. `length_m` and `area_mm2` (one conductor) are those of the cable.
    """

    rack: str
    supply: str
    phase: int | None = None
    length_m: Figure = UNKNOWN
    area_mm2: Figure = UNKNOWN
    circuit: str = ""

    @property
    def name(self) -> str:
        """What tells it from its neighbours."""
        return self.rack


@dataclass(frozen=True, slots=True)
class Support:
    """Something that bears loads up to a marked limit (all of it, in kg)."""

    name: str
    kind: SupportKind
    limit_kg: Figure


@dataclass(frozen=True, slots=True)
class ExtraLoad:
    """Something else that hangs or stands on a support: rigging, cable, a rack on a truck."""

    name: str
    support: str
    mass_kg: Figure


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
    limiter_basis: LimiterBasis = "continuous"
    limiter_basis_by: str = ""
    coherent_below_hz: float = 150.0


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
