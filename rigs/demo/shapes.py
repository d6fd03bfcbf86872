"""The shapes of the demo's tables. They know no database: `fill` turns them into rows."""

from dataclasses import dataclass, field

from rigs.catalogue.axis import Response
from rigs.catalogue.directivity import Polars
from rigs.catalogue.impedance import Curve
from rigs.catalogue.models import Loudspeaker, Mode, Rating, Way
from rigs.systems.plans import FilterPlan

Role = Loudspeaker.Role
Signal = Rating.Signal
PER_WATT = Way.SensitivityBasis.ONE_WATT
PER_VOLTS = Way.SensitivityBasis.VOLTS

Ends = tuple[tuple[str, str, int], ...]  # side, connector, count


@dataclass(frozen=True)
class WaySheet:
    """One way. Peak and programme rating follow from the noise rating, where they are stated."""

    name: str
    ohm: float | None
    noise_w: float | None
    db: float | None
    low_hz: float | None
    high_hz: float | None
    h_deg: float | None
    v_deg: float | None
    minimum_ohm: float | None = None
    per: str = PER_WATT
    pair: int = 1
    peak_known: bool = True
    curve: Curve | None = None
    polars: Polars | None = None
    axis: Response | None = None
    piston_m: float | None = None
    basis: dict[str, str] = field(default_factory=dict)

    @property
    def peak_w(self) -> float | None:
        """Four times the rated noise power (the rating noise has 6 dB), where the sheet says."""
        return 4 * self.noise_w if self.noise_w and self.peak_known else None

    @property
    def least_high_pass(self) -> tuple[float | None, int | None]:
        """Corner and order that the maker demands: 24 dB an octave at the lowest frequency."""
        return (self.low_hz, 4) if self.low_hz else (None, None)

    @property
    def programme_w(self) -> float | None:
        """Twice the rated noise power, as sheets like to have it, where the sheet says."""
        return 2 * self.noise_w if self.noise_w and self.peak_known else None


@dataclass(frozen=True)
class LoudspeakerSheet:
    maker: str
    model: str
    role: str
    mass_kg: float | None
    size_m: tuple[float, float, float] | None
    ways: tuple[WaySheet, ...]
    ends: Ends
    notes: str = ""


@dataclass(frozen=True)
class AmplifierSheet:
    """`watts` is one channel's power by load; the bridged ratings follow from it."""

    maker: str
    model: str
    channels: int
    units: int
    mass_kg: float | None
    watts: dict[float, float | None]
    minimum_ohm: float
    gain_db: float | None = None
    sensitivity_v: float | None = None
    damping: float | None = None
    idle_w: float | None = None
    eighth_w: float | None = None
    power_factor: float | None = None
    inrush_a: float | None = None
    bridges: bool = True
    parallels: bool = False
    minimum_is: str = "rated"
    signal: str = Signal.CONTINUOUS
    third_w: float | None = None
    peak_v: float | None = None
    clip_dbu: float | None = 21
    noise_dbu: float | None = None
    gains_db: tuple[float, ...] = ()
    basis: dict[str, str] = field(default_factory=dict)
    notes: str = ""


@dataclass(frozen=True)
class CableSheet:
    model: str
    use: str
    length_m: float
    area_mm2: float | None
    conductor: str
    pairs: int
    mass_kg: float | None
    takes: str
    feeds: str
    notes: str = ""


@dataclass(frozen=True)
class ProcessorSheet:
    model: str
    inputs: int
    outputs: int
    max_dbu: float | None
    step_db: float | None
    mains_w: float | None
    mass_kg: float
    max_input_dbu: float | None = 20
    noise_dbu: float | None = None


@dataclass(frozen=True)
class Dial:
    """From where to where a quantity can be set, and its step; `octave`: steps to an octave."""

    quantity: str
    least: float | None
    most: float | None
    step: float | None = None
    octave: bool = False


@dataclass(frozen=True)
class Setting:
    """What a processor can be set to. `slopes`: families with their orders."""

    sampling_hz: float | None = None
    latency_ms: float | None = None
    filters: int | None = None
    kinds: tuple[str, ...] = ()
    mixes: bool | None = None
    bessel: str = "unknown"
    slopes: tuple[tuple[str, tuple[int, ...]], ...] = ()
    dials: tuple[Dial, ...] = ()


@dataclass(frozen=True)
class MixerSheet:
    model: str
    outputs: int
    max_dbu: float | None
    noise_dbu: float | None
    mass_kg: float
    notes: str = ""


@dataclass(frozen=True)
class AccessorySheet:
    model: str
    mass_kg: float | None
    ends: Ends = ()
    carries_kg: float | None = None
    notes: str = ""


@dataclass(frozen=True)
class RackPlan:
    """A wired rack: the models from top to bottom."""

    name: str
    empty_kg: float
    models: tuple[str, ...]
    notes: str = ""


@dataclass(frozen=True)
class Box:
    """A loudspeaker at a place: metres, and degrees of azimuth and tilt."""

    name: str
    model: str
    x: float
    y: float
    z: float
    azimuth: float = 0
    tilt: float = 0


@dataclass(frozen=True)
class LooseAmplifier:
    """An amplifier of which no unit is chosen yet, in a rack named for the event."""

    name: str
    model: str
    rack: str = ""


Run = tuple[str, int]  # cable model, pieces in a row


@dataclass(frozen=True)
class Line:
    """A drive line. The first box hangs on `run`, each further one on `link` from the last."""

    name: str
    amplifier: str
    channel: int
    boxes: tuple[str, ...]
    way: str
    run: Run
    link: Run | None = None
    processor: str = ""
    output: int | None = None
    mode: str = Mode.PER_CHANNEL
    level_db: float = 0


@dataclass(frozen=True)
class Feed:
    """The mains cable to a rack, or to an amplifier by itself: a cable of the catalogue."""

    load: str
    supply: str
    phase: int | None = None
    circuit: str = ""
    cable: str = ""


@dataclass(frozen=True)
class Bearer:
    """What bears boxes and other loads (kg), and what its limit is marked on."""

    name: str
    kind: str
    boxes: tuple[str, ...] = ()
    point: str = ""  # the venue's hang point
    stand: str = ""  # the type of stand
    limit_kg: float | None = None
    loads: tuple[tuple[str, float | None], ...] = ()
    carries_kit: bool = False


@dataclass(frozen=True)
class RevisionPlan:
    """What somebody changed, by drive line: delay in ms, polarity, passes and further filters."""

    reason: str
    delays_ms: dict[str, float] = field(default_factory=dict)
    inverted: tuple[str, ...] = ()
    filters: dict[str, tuple[FilterPlan, ...]] = field(default_factory=dict)  # added
    passes: dict[str, tuple[FilterPlan, ...]] = field(default_factory=dict)  # in place of the old


@dataclass(frozen=True)
class Spot:
    """Where somebody listens: metres."""

    name: str
    x: float
    y: float
    z: float = 1.6
    kind: str = "standing"


@dataclass(frozen=True)
class AlignmentPlan:
    """Lines that shall run together with others at a spot."""

    name: str
    kind: str
    moved: tuple[str, ...]
    reference: tuple[str, ...]
    spot: str
    offset_ms: float = 0
    set_c: float | None = None


@dataclass(frozen=True)
class StagePlan:
    """A stage microphone: metres and degrees. `source` None: nobody measured it yet."""

    name: str
    x: float
    y: float
    z: float
    pattern: str
    source: float | None
    azimuth: float = 180
    tilt: float = 0
    kept_out: tuple[str, ...] = ()  # drive lines
    near: float | None = None  # how near it shall seem, if not as the event chose
    open: bool = True


@dataclass(frozen=True)
class RigPlan:
    """`racks` bring their own amplifiers and processors, named 'Rack 1 amp 1', 'Rack 1 control'."""

    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    racks: tuple[str, ...] = ()
    amplifiers: tuple[LooseAmplifier, ...] = ()
    processors: tuple[tuple[str, str], ...] = ()  # place, model
    mixer: str = ""
    feeds: tuple[Feed, ...] = ()
    bearers: tuple[Bearer, ...] = ()
    gains_db: dict[str, float] = field(default_factory=dict)  # gain switches, by amplifier
    revisions: tuple[RevisionPlan, ...] = ()  # after the one from the house's own settings
    spots: tuple[Spot, ...] = ()
    alignments: tuple[AlignmentPlan, ...] = ()
    microphones: tuple[StagePlan, ...] = ()


Moment = tuple[int, str]  # days from the show's first day, local time


@dataclass(frozen=True)
class EventPlan:
    """An event `day` days from today, its times in the venue's own zone."""

    name: str
    venue: str
    space: str
    day: int
    out: Moment
    load_in: Moment
    start: Moment
    end: Moment
    back: Moment
    state: str = "confirmed"
    audience: int | None = None
    crest_db: float = 12
    target_dba: float | None = None
    temperature_c: float = 20
    humidity_pct: float = 50
    contact: str = ""
    notes: str = ""
    rig: RigPlan | None = None
    kit: dict[str, int] = field(default_factory=dict)
    spares: dict[str, int] = field(default_factory=dict)
    wired: bool = True  # with a lead for every inlet and every input
    may_be_short: bool = False
    packet: bool = False
