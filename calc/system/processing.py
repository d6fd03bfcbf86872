"""What a loudspeaker processor is set to, and what lies between boxes that play together."""

from dataclasses import dataclass
from typing import Literal

from calc.figure import UNKNOWN, Figure

FilterKind = Literal[
    "high-pass", "low-pass", "peak", "low shelf", "high shelf", "all-pass", "notch"
]
FilterFamily = Literal["", "Butterworth", "Linkwitz-Riley", "Bessel"]
BesselCorner = Literal["-3 dB", "phase", "unknown"]
DialScale = Literal["linear", "steps per octave"]
AlignmentKind = Literal["sub to top", "fill or tower"]
SpotKind = Literal["standing", "seated", "on the floor"]


@dataclass(frozen=True, slots=True)
class Dial:
    """What one quantity of a processor can be set to: `least` to `most` in steps of `step`.

    Steps count from 0 (`linear`, in the quantity's own unit) or from 1 kHz in equal ratios
    (`steps per octave`: `step` is how many an octave has). None where unknown: then every value
    between the ends may be set, and the sheet says that its steps are unknown.
    """

    least: float | None = None
    most: float | None = None
    step: float | None = None
    scale: DialScale = "linear"


@dataclass(frozen=True, slots=True)
class Slope:
    """A high or low pass that a processor offers: `order` 1 to 8, 6 dB an octave each."""

    family: FilterFamily
    order: int


@dataclass(frozen=True, slots=True)
class ProcessorAbilities:
    """What a processor can be set to.

    `filters_per_output` counts peak, shelf, all-pass and notch sections of one output; a high
    and a low pass come besides. `kinds` are those it offers, empty where unknown; `slopes`
    likewise. `bessel_corner`: what its stated Bessel corner means; `-3 dB`, or `phase`: the
    corner of the asymptotes. `mixes_inputs`: whether an output may play the sum of inputs; None
    where unknown. `sampling_hz` decides the response above some kHz.
    """

    filters_per_output: int | None = None
    kinds: tuple[FilterKind, ...] = ()
    slopes: tuple[Slope, ...] = ()
    bessel_corner: BesselCorner = "unknown"
    mixes_inputs: bool | None = None
    sampling_hz: Figure = UNKNOWN
    latency_ms: Figure = UNKNOWN
    gain_db: Dial = Dial()
    delay_ms: Dial = Dial()
    pass_hz: Dial = Dial()
    filter_hz: Dial = Dial()
    filter_gain_db: Dial = Dial()
    filter_q: Dial = Dial()
    limiter_dbu: Dial = Dial()
    attack_ms: Dial = Dial()
    release_ms: Dial = Dial()


@dataclass(frozen=True, slots=True)
class Filter:
    """One section of an output.

    High and low passes have `family` and `order` (1 to 8; Linkwitz-Riley even only); their
    `frequency_hz` is the corner that people type: -3 dB for Butterworth and Bessel, -6 dB for
    Linkwitz-Riley. Peaks and shelves have `gain_db` and `q`, notches `q`, all-passes `order` 1
    or 2 (and `q` for order 2). Formulas of the sections: docs/processing.md.
    """

    kind: FilterKind
    frequency_hz: float
    family: FilterFamily = ""
    order: int = 2
    gain_db: float = 0.0
    q: float | None = None


@dataclass(frozen=True, slots=True)
class ProcessorOutput:
    """One output of a processor: what it plays and how.

    `processor` names a processor place, `output` counts from 1. `inputs` are the numbers of the
    inputs that it plays, added up; empty: nobody said. `gain_db` is from input to output where
    the filters do nothing; None: nobody said.
    """

    processor: str
    output: int
    inputs: tuple[int, ...] = ()
    gain_db: float | None = None
    delay_ms: float = 0.0
    inverted: bool = False
    filters: tuple[Filter, ...] = ()

    @property
    def name(self) -> str:
        """As the sums and the pages call it."""
        return f"{self.processor}, output {self.output}"


@dataclass(frozen=True, slots=True)
class ListeningSpot:
    """Where somebody listens or a measuring microphone stands; `z_m` is its height."""

    name: str
    x_m: float
    y_m: float
    z_m: float
    kind: SpotKind = "standing"


@dataclass(frozen=True, slots=True)
class MeasuredResponse:
    """What arrived at a spot from one drive line, electrical input to sound.

    `frequency_hz` rises; levels in dB re anything, one `phase_deg` for each, with the arrival in
    it but for `removed_ms`, which was taken off when it was measured. The line's processing of
    that time (`delay_ms`, `inverted`, filters) is not in it: only what lies behind the
    processor's output.
    """

    line: str
    spot: str
    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]
    phase_deg: tuple[float, ...]
    removed_ms: float = 0.0


@dataclass(frozen=True, slots=True)
class Alignment:
    """Two sets of drive lines that shall run together at a spot.

    `moved` lines are delayed to meet the `reference` lines; where they arrive later already, the
    reference is what must wait, and the answer says so. `offset_ms` lets the moved ones come
    later still (fills and towers: so that the sound seems to come from the stage).
    `set_temperature_c` is the air's when the delays are entered; None: the event's.
    """

    name: str
    kind: AlignmentKind
    moved: tuple[str, ...]
    reference: tuple[str, ...]
    spot: str
    offset_ms: float = 0.0
    set_temperature_c: float | None = None
