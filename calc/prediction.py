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
    short fixed key (`load`, `power`, `cable_loss`, `damping`, `headroom`, `limiter`,
    `undriven_way`, `coverage`, `exposure`, `supply`). `value` and `limit` carry `unit`;
    None where unknown. `sentence` says the fault first, then what to do. `working` lists the
    steps of the sum in words and figures; `assumed` what had to be assumed.
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


@dataclass(frozen=True, slots=True)
class BoxResult:
    """What arrives at one box way of a drive line. None where it cannot be said.

    `cable_loss_db` is 20 lg (volts at the amplifier / volts at the box), positive = lost.
    `voltage_v` is the rms voltage at the box when the line is driven to `LineResult.drive_v`.
    """

    placement: str
    way: str
    cable_loss_db: float | None
    damping_factor: float | None
    voltage_v: float | None


@dataclass(frozen=True, slots=True)
class LineResult:
    """One drive line's figures. Impedances are what one channel of the amplifier drives
    in `channel_*` and the whole line otherwise; bridged channels see half the line."""

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


@dataclass(frozen=True, slots=True)
class AreaResult:
    """Direct sound over one audience area, every line driven to its `drive_v` with pink noise.

    Grids are rows of y, columns of x, at ear height; None outside of the polygon.
    `level_a_db` A-weighted and `level_z_db` unweighted over 50 Hz to 16 kHz, `level_mid_db`
    over 500 Hz to 4 kHz, all dB re 20 uPa, never below 0 (nothing arrives). `mean_a_db` is the
    energy mean; `mean_mid_db` the mean of the decibels over the points inside, `spread_mid_db`
    loudest less quietest, `share_within_3_db` the share (0 to 1) within 3 dB of `mean_mid_db`.
    `mean_spectrum_db` is the energy mean in each band of `bands_hz`.
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


@dataclass(frozen=True, slots=True)
class AmplifierDraw:
    """Mains current of one amplifier place; None where the sheet does not say."""

    place: str
    rack: str
    idle_a: float | None
    eighth_power_a: float | None
    inrush_a: float | None


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
