"""What to enter in the processors, how the ways add up, and what runs together."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EnteredValue:
    """One figure of an entry: as wished for, and as this processor takes it.

    `entered` is None where it does not fit at all; equal to `wanted` where the steps are unknown.
    `words` is `entered` (else `wanted`) as people type it: "98.4 Hz", "7.25 ms", "inverted".
    """

    name: str
    unit: str
    wanted: float
    entered: float | None
    words: str


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One line of a dial-in sheet, ticked as a whole.

    `key` is stable within its output: "inputs", "gain", "delay", "polarity", "high-pass",
    "low-pass", "filter 1", "limiter". `title` names it in words ("High-pass, Linkwitz-Riley
    24 dB/octave"). `fits` is False where the processor cannot do it; `note` then says so and what
    the best that does is, else what was rounded and why that way.
    """

    key: str
    title: str
    values: tuple[EnteredValue, ...]
    fits: bool = True
    note: str = ""

    @property
    def name(self) -> str:
        """So that it is found among others of its kind: 'Peak 250 Hz'."""
        if not self.key.startswith("filter") or not self.values:
            return self.title
        return f"{self.title} {self.values[0].words}"


@dataclass(frozen=True, slots=True)
class OutputSheet:
    """One output: what it plays, and its entries in the order in which to enter them.

    `rounding_db` and `rounding_deg` are the largest change of level and phase that all rounding
    together makes in the band that its boxes play (`rounding_at_hz`, of the level); None where
    steps are unknown or nothing plays. `band_hz` is that band, empty where unknown.
    """

    output: int
    lines: tuple[str, ...]
    boxes: tuple[str, ...]
    entries: tuple[SheetEntry, ...]
    rounding_db: float | None = None
    rounding_deg: float | None = None
    rounding_at_hz: float | None = None
    band_hz: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class DialInSheet:
    """Everything to enter in one processor. `remarks` say what was assumed or does not fit.

    `linked` are the pairs or more of inputs that one output plays together, in words
    ("inputs 1 and 2 together"); "" where every output plays one input.
    """

    processor: str
    model: str
    unit: str
    outputs: tuple[OutputSheet, ...]
    linked: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CrossoverResult:
    """Two neighbouring ways of a box (`lower`, `upper`), added up on its axis or at a spot.

    `subject` names the box, `also` others that are set alike and stand as this one does.
    `spot` is "" on the axis. `kind` says what the two passes are together ("Linkwitz-Riley
    24 dB/octave"), "" where they are no known pair. `crossover_hz` is where both are equally
    loud; None where they never are. `needed_inverted`: whether one of the two must be inverted
    by the theory of `kind` (None: no rule), `is_inverted`: whether it is. `phase_deg` is the
    upper less the lower at `crossover_hz` (-180 to 180), `sum_db` the sum there re the louder of
    the two. Curves over `frequency_hz`: dB re 20 uPa at full drive on the axis at 1 m or at the
    spot; phase in degrees, the common flight time taken out; `delay_ms` is the sum's group delay.
    `basis` names what the drivers' own responses stand on. `worst_dip_db` (0 or less) is the
    deepest the sum falls below the louder way within an octave of the crossover.
    """

    subject: str
    also: tuple[str, ...]
    spot: str
    lower: str
    upper: str
    kind: str
    crossover_hz: float | None
    needed_inverted: bool | None
    is_inverted: bool
    phase_deg: float | None
    sum_db: float | None
    worst_dip_db: float | None
    basis: str
    frequency_hz: tuple[float, ...]
    lower_db: tuple[float, ...]
    upper_db: tuple[float, ...]
    sum_db_curve: tuple[float, ...]
    lower_phase_deg: tuple[float, ...]
    upper_phase_deg: tuple[float, ...]
    group_delay_ms: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class AlignmentResult:
    """One `Alignment`: what its two sides do at the spot as set, and what would be right.

    Arrivals in ms with everything (flight, delay, latency) as set. `delay_ms` is what the moved
    lines need in all (absolute, to enter), `add_ms` by how much that differs from what is set;
    below 0 `delay_ms`: the reference must wait by that much instead. `invert` whether the moved
    lines' polarity should change. `overlap_hz` (low, high) is where both sides lie within 10 dB;
    empty where they do not overlap (fills and towers overlap everywhere: 500 Hz to 4 kHz counts).
    `worst_phase_deg` (0 to 180) is the largest phase between the two in the overlap as set,
    `best_worst_phase_deg` the same after the change. `sum_db` is the mean gain of the sum over
    the louder side in the overlap, `best_sum_db` after. `as_inversion` says in a sentence that
    polarity stands in for delay, "" where it does not. `drift_ms` is how much later (+) or
    earlier the moved side comes at the show's temperature than at `set_temperature_c`.
    `measured` whether measured responses were used. Curves over `frequency_hz`: phase between
    the two as set and after; level of each and of the sum as set and after.
    """

    name: str
    kind: str
    spot: str
    moved: tuple[str, ...]
    reference: tuple[str, ...]
    moved_arrival_ms: float | None
    reference_arrival_ms: float | None
    delay_ms: float | None
    add_ms: float | None
    invert: bool | None
    overlap_hz: tuple[float, ...]
    worst_phase_deg: float | None
    best_worst_phase_deg: float | None
    sum_db: float | None
    best_sum_db: float | None
    as_inversion: str
    drift_ms: float | None
    set_temperature_c: float
    show_temperature_c: float
    measured: bool
    frequency_hz: tuple[float, ...] = ()
    phase_deg: tuple[float, ...] = ()
    best_phase_deg: tuple[float, ...] = ()
    moved_db: tuple[float, ...] = ()
    reference_db: tuple[float, ...] = ()
    sum_db_curve: tuple[float, ...] = ()
    best_sum_db_curve: tuple[float, ...] = ()
    sentences: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LineUpStep:
    """One step of bringing the system to life, in order.

    `key` is stable; `title` short ("Rack 1 control, output 3: Sub left"); `does` what to do,
    `expect` what should be heard and from where. `caution` is "" or what to mind first.
    """

    key: str
    title: str
    does: str
    expect: str = ""
    caution: str = ""
