"""What arrives where, and what it does to ears."""

from dataclasses import dataclass


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
