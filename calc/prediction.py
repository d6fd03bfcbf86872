"""What `calc` answers: figures, findings, and what could not be checked and why."""

from dataclasses import dataclass
from typing import Literal

State = Literal["holds", "tight", "fails", "cannot check"]

# Worst first: the order in which people should read them.
SEVERITY: tuple[State, ...] = ("fails", "cannot check", "tight", "holds")


@dataclass(frozen=True, slots=True)
class Finding:
    """One checked statement.

    `subject` is the drive line, area, placement or amplifier place it speaks of; `check` is a
    short fixed key (of a line `load`, `power`, `peak`, `cable_loss`, `damping`, `headroom`,
    `limiter`, `pole_pair`; of the rig `undriven_way`, `shared_pole_pair`, `shared_output`,
    `linked_inputs`, `coverage`, `exposure`, `target`, `supply`, `phase`, `volt_drop`, `inrush`,
    `weight`). `value` and `limit` carry `unit`; None where unknown.
    `sentence` says the fault first, then what to do. `working` lists the steps of the sum in
    words and figures; `assumed` what had to be assumed; `remedy` what would change the state.
    """

    subject: str
    check: str
    title: str
    state: State
    value: float | None
    limit: float | None
    unit: str
    limit_source: str
    sentence: str
    working: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    remedy: str = ""


@dataclass(frozen=True, slots=True)
class BoxResult:
    """What arrives at one box way of a drive line. None where it cannot be said.

    `cable_loss_db` is 20 lg (volts without cable / volts at the box), positive = lost; for a
    box in parallel the volts without cable are the amplifier's.
    `voltage_v` is the rms voltage at the box when the line is driven to `LineResult.drive_v`.
    `current_a` (rms) and `power_w` (real power) go with it, over the way's band where impedance
    curves are known (pink noise), else at the rated impedance. `tilt_db` is how far the cable
    bends this box's response: highest less lowest loss over the band; `loss_most_db` that
    highest loss. Without a curve the loss is alike everywhere and `tilt_db` None.
    """

    placement: str
    way: str
    cable_loss_db: float | None
    damping_factor: float | None
    voltage_v: float | None
    current_a: float | None = None
    power_w: float | None = None
    tilt_db: float | None = None
    loss_most_db: float | None = None


@dataclass(frozen=True, slots=True)
class RunResult:
    """One stretch of cable of a drive line, driven to `LineResult.drive_v`.

    From `start` ("" is the amplifier, else a placement) to `placement`; with `in_series` it lies
    between two boxes in series. `loop_ohm` counts both conductors, `heat_w_per_m` is `loss_w`
    over the length of the run (both conductors). None where unknown.
    """

    start: str
    placement: str
    cable: str
    length_m: float | None
    loop_ohm: float | None
    current_a: float | None
    loss_w: float | None
    heat_w_per_m: float | None
    in_series: bool = False


@dataclass(frozen=True, slots=True)
class GainStage:
    """One stage of a gain ladder. None where unknown.

    `gain_db` leads from the stage before to this one; `clip_dbu` (a sine's rms level) is where
    this stage clips, and `noise_dbu` what it adds, both at its own place. `clip_at_reference_dbu`
    and `noise_at_reference_dbu` are the same, seen from the processor's output.
    `total_noise_dbu` is all noise that has gathered up to here, at its own place.
    """

    name: str
    gain_db: float | None
    clip_dbu: float | None
    noise_dbu: float | None
    clip_at_reference_dbu: float | None
    noise_at_reference_dbu: float | None
    total_noise_dbu: float | None


@dataclass(frozen=True, slots=True)
class GainLadder:
    """From the mixer to the box: where each stage clips and how noisy it is.

    `stages` in the order of the signal: mixer, processor input, processor output, amplifier
    input, amplifier output, box. `first_to_clip` names the stage with the lowest
    `clip_at_reference_dbu`, "" unless all are known; `first_known_to_clip` of those known.
    `aligned_level_control_db` is the level control at which processor and amplifier clip
    together: above 0 it cannot be reached. `hiss_db` is the level at the nearest listener (dB re
    20 uPa, unweighted, an upper estimate) and `hiss_at_least_db` what the known sources alone
    give; `hiss_distance_m` the nearest distance used. `sentences` say what it means,
    `unknown` what is missing.
    """

    stages: tuple[GainStage, ...]
    first_to_clip: str
    first_known_to_clip: str
    aligned_level_control_db: float | None
    hiss_db: float | None
    hiss_at_least_db: float | None
    hiss_distance_m: float | None
    sentences: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LineResult:
    """One drive line's figures. Impedances are what one channel of the amplifier drives
    in `channel_*` and the whole line otherwise; bridged channels see half the line.

    `minimum_load_basis` says what `minimum_load_ohm` stands on and `minimum_load_hz` at which
    frequency it lies (None without an impedance curve). `runs` are the stretches of cable.
    `cable_spread_db` is the level between the box that loses least and the one that loses most,
    `cable_tilt_db` the largest tilt of a box, `cable_loss_w` the power left in all cables at
    `drive_v`, `cable_loss_share` (0 to 1) that power over what the amplifier gives.
    `peak_margin_db` is 20 lg (amplifier's peak volts / the boxes' peak rating): above 0 only the
    limiter protects. `crest_headroom_db` is the amplifier's peak over the peaks of a programme
    at the boxes' rated rms level with the event's crest factor, cable included.
    `limiter_attack_ms`, `limiter_release_ms` and `limiter_basis` ("continuous", "programme")
    belong to the thresholds. `cautions` are sentences about this line.
    """

    name: str
    amplifier: str
    amplifier_sheet: str
    unit: str
    rack: str
    channels: tuple[int, ...]
    mode: str
    state: State
    rated_load_ohm: float | None
    minimum_load_ohm: float | None
    channel_rated_load_ohm: float | None
    channel_minimum_load_ohm: float | None
    amplifier_minimum_ohm: float | None
    voltage_low_v: float | None
    voltage_high_v: float | None
    power_low_w: float | None
    power_high_w: float | None
    rated_noise_power_w: float | None
    rated_voltage_v: float | None
    headroom_db: float | None
    gain_db: float | None
    limiter_rms_dbu: float | None
    limiter_peak_dbu: float | None
    drive_v: float | None
    worst_cable_loss_db: float | None
    worst_damping_factor: float | None
    boxes: tuple[BoxResult, ...]
    findings: tuple[Finding, ...]
    minimum_load_basis: str = ""
    minimum_load_hz: float | None = None
    runs: tuple[RunResult, ...] = ()
    cable_spread_db: float | None = None
    cable_tilt_db: float | None = None
    cable_loss_w: float | None = None
    cable_loss_share: float | None = None
    peak_margin_db: float | None = None
    crest_headroom_db: float | None = None
    limiter_attack_ms: float | None = None
    limiter_release_ms: float | None = None
    limiter_basis: str = "continuous"
    ladder: GainLadder | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AreaResult:
    """Direct sound over one audience area, every line driven to its `drive_v` with pink noise.

    Grids are rows of y, columns of x, at ear height; None outside of the polygon.
    `level_a_db` A-weighted and `level_z_db` unweighted over 25 Hz to 20 kHz, `level_mid_db`
    over 500 Hz to 4 kHz, all dB re 20 uPa, never below 0 (nothing arrives). `mean_a_db` is the
    energy mean; `mean_mid_db` the mean of the decibels over the points inside, `spread_mid_db`
    loudest less quietest, `share_within_3_db` the share (0 to 1) within 3 dB of `mean_mid_db`.
    `mean_spectrum_db` is the energy mean in each band of `bands_hz`.

    `kind` is the area's. `front_to_back_db` is the mean mid level of the row nearest to the stage
    less that of the farthest row. `worst_at_m` is where the mids lie farthest from their mean, and
    `worst_off_db` by how much (signed). `band_mean_db` (mean of the decibels), `band_spread_db` and
    `band_share_within_3` are per band of `bands_hz`. `present_a_db` is the A-weighted map with the
    programme at the event's level and the lines' balance as set, empty where that is unknown;
    `mean_present_a_db` its energy mean. Fields after `mean_spectrum_db` are empty or None in
    predictions of older arithmetic.
    """

    name: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    level_a_db: tuple[tuple[float | None, ...], ...]
    level_z_db: tuple[tuple[float | None, ...], ...]
    level_mid_db: tuple[tuple[float | None, ...], ...]
    mean_a_db: float
    loudest_a_db: float
    loudest_at_m: tuple[float, float]
    quietest_a_db: float
    quietest_at_m: tuple[float, float]
    mean_mid_db: float
    spread_mid_db: float
    share_within_3_db: float
    bands_hz: tuple[float, ...]
    mean_spectrum_db: tuple[float, ...]
    kind: str = "audience"
    mean_z_db: float | None = None
    front_to_back_db: float | None = None
    worst_at_m: tuple[float, float] | None = None
    worst_off_db: float | None = None
    band_mean_db: tuple[float, ...] = ()
    band_spread_db: tuple[float, ...] = ()
    band_share_within_3: tuple[float, ...] = ()
    present_a_db: tuple[tuple[float | None, ...], ...] = ()
    mean_present_a_db: float | None = None


@dataclass(frozen=True, slots=True)
class PlaceResult:
    """Direct sound at one place of crew or front row, as in `AreaResult`.

    `level_a_db` and `level_z_db` with every line at full drive, `present_a_db` with the programme
    at the event's level (None where unknown). `spectrum_db` at full drive in `bands_hz`.
    """

    name: str
    kind: str
    at_m: tuple[float, float, float]
    level_a_db: float
    level_z_db: float
    present_a_db: float | None
    bands_hz: tuple[float, ...]
    spectrum_db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LineLevel:
    """One drive line against its limit, with pink noise as the programme.

    `present_v` is the rms voltage at the amplifier with the programme at the event's level,
    before any limit. `after_first_db` (0 or more) is how much later than the first line this
    one reaches its limit when the whole rig is turned up; `margin_db` how far it is from it
    now, below 0 when it is already held back. None where unknown.
    """

    line: str
    present_v: float | None
    after_first_db: float | None
    margin_db: float | None


@dataclass(frozen=True, slots=True)
class RigLevels:
    """How loud the rig is and can be, over all audience areas (energy mean, dB(A)).

    `most_dba` with every line at its own limit; `balanced_most_dba` with the balance as set,
    turned up until the first line, `first_to_limit` ("" unless all are known), reaches its
    limit; `present_dba` with the programme at the event's level. `headroom_db` is
    `balanced_most_dba` (or `most_dba` where the balance is unknown) less `target_dba`.
    `sentences` say what it means and `unknown` what is missing.
    """

    most_dba: float | None
    balanced_most_dba: float | None
    present_dba: float | None
    target_dba: float | None
    headroom_db: float | None
    first_to_limit: str
    lines: tuple[LineLevel, ...]
    sentences: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SpeechResult:
    """Speech at one area, an estimate: index per IEC 60268-16 edition 5 (male), 0 to 1.

    Grids as in `AreaResult`. `direct_db` is direct over reverberant sound, 500 Hz to 4 kHz.
    `index` is empty and the figures None where a decay time is unknown. `rating` is the
    standard's letter of the mean.
    """

    area: str
    direct_db: tuple[tuple[float | None, ...], ...]
    mean_direct_db: float | None
    index: tuple[tuple[float | None, ...], ...]
    mean_index: float | None
    least_index: float | None
    rating: str


@dataclass(frozen=True, slots=True)
class RoomResult:
    """What the room does in the seven octaves `octaves_hz`; None where unknown. An estimate.

    `decay_s` is what was counted with: measured, else by Eyring (`decay_basis` says which, ""
    where unknown). `critical_distance_m` is 0.057 sqrt(Q V / T), Q of all boxes together by
    their power. `schroeder_hz` for the mean decay of 500 Hz and 1 kHz. `speech_dba` is the mean
    level of speech that the index is for, `speech_assumed` whether nobody said it, and
    `noise_known` whether noise is in it; without, the index is the best that could be.
    """

    octaves_hz: tuple[float, ...]
    sabine_s: tuple[float | None, ...]
    eyring_s: tuple[float | None, ...]
    decay_s: tuple[float | None, ...]
    decay_basis: tuple[str, ...]
    directivity_q: tuple[float | None, ...]
    critical_distance_m: tuple[float | None, ...]
    schroeder_hz: float | None
    speech: tuple[SpeechResult, ...]
    speech_dba: float
    speech_assumed: bool
    noise_known: bool
    sentences: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Exposure:
    """How much sound somebody takes over the show, an estimate and no measurement.

    `kind` is "audience", "front row" or "crew". `laeq_dba` is the level the show runs at there;
    `level_basis` says where it comes from: "programme" (as set), "wished level", or "full drive"
    where neither is known. `lex_8h_dba` and `niosh_dose_pct` need `hours`; None where unknown.
    `minutes_left` is until the energy of 15 minutes at 100 dB(A) is used up (audience, WHO 2022) or
    that of 85 dB(A) over 8 h (crew, 2003/10/EC); `niosh_minutes` until NIOSH's 100 %; 1440 is a
    whole day and more.
    `who_exceeded` is None for crew; `eu_value` ("limit", "upper action", "lower action", "below
    all", "cannot check") is "" for the audience.
    """

    subject: str
    kind: str
    laeq_dba: float
    level_basis: str
    hours: float | None
    lex_8h_dba: float | None
    niosh_dose_pct: float | None
    niosh_minutes: float
    minutes_left: float
    who_exceeded: bool | None
    eu_value: str
    sentence: str


@dataclass(frozen=True, slots=True)
class AmplifierDraw:
    """Mains current of one amplifier place in A; None where the sheet does not say.

    `programme_a` is that at the event's crest factor, which all mains statements count with:
    the one at 1/8 power from 12 dB of crest factor up, more below. `assumed` says what had to be
    assumed for it.
    """

    place: str
    rack: str
    idle_a: float | None
    eighth_power_a: float | None
    inrush_a: float | None
    third_power_a: float | None = None
    programme_a: float | None = None
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FeedResult:
    """One mains cable to a rack (or to an amplifier that is plugged by itself).

    `phase` counts from 1; `given` is False where the plan chose it. Currents in A of all
    amplifiers on it at idle, 1/8 and 1/3 power and with the event's programme; `drop_v` and
    `drop_share` (0 to 1 of the phase voltage) with the programme, over this cable alone. None
    where unknown.
    """

    rack: str
    supply: str
    phase: int | None
    given: bool
    circuit: str
    idle_a: float | None
    eighth_power_a: float | None
    third_power_a: float | None
    drop_v: float | None = None
    drop_share: float | None = None
    programme_a: float | None = None


@dataclass(frozen=True, slots=True)
class PhaseResult:
    """One phase of a supply: what hangs on it, its currents in A and what it bears.

    Sums of rms currents, so that they are never too low. None where unknown.
    """

    phase: int
    racks: tuple[str, ...]
    idle_a: float | None
    eighth_power_a: float | None
    third_power_a: float | None
    usable_a: float | None
    programme_a: float | None = None


@dataclass(frozen=True, slots=True)
class PlannedRack:
    """The phase (from 1) that a plan gives to a rack."""

    rack: str
    phase: int


@dataclass(frozen=True, slots=True)
class SupplyResult:
    """The phase table of one supply, as plugged or (where nobody plugged yet) as planned.

    `highest_a` is the highest phase current with the event's programme; `best_highest_a` what
    the best plugging of all its racks would give, `best_plan` that plugging; `exact` False when
    it was found by a rule of thumb and may not be the best. `neutral_a` is the vector sum of the
    fundamentals, `neutral_rectifier_a` the root of the sum of the squares: what flows when
    rectifiers draw their current in short pulses.
    """

    name: str
    phases: tuple[PhaseResult, ...]
    highest_a: float | None
    best_highest_a: float | None
    best_plan: tuple[PlannedRack, ...]
    exact: bool
    neutral_a: float | None
    neutral_rectifier_a: float | None


@dataclass(frozen=True, slots=True)
class SupportResult:
    """Everything on one hang point, stand or truck, in kg; `total_kg` None if one is unknown.

    `known_kg` sums the known masses; `unknown` names the loads without one.
    """

    name: str
    kind: str
    total_kg: float | None
    known_kg: float
    limit_kg: float | None
    loads: tuple[str, ...]
    unknown: tuple[str, ...]


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
