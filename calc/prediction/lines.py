"""What follows for a drive line."""

from dataclasses import dataclass

from calc.prediction.findings import Finding, State


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
