"""Amplifiers, cables, processors and mixers as `calc` reads them."""

from dataclasses import dataclass, field
from typing import Literal

from calc.figure import UNKNOWN, Figure
from calc.system.processing import ProcessorAbilities

Mode = Literal["per channel", "bridged", "parallel"]
ConductorClass = Literal["1/2", "5", "5 tinned", "unknown"]
MinimumKind = Literal["rated", "true"]
RatingSignal = Literal["continuous sine", "burst", "not stated"]


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
    """A loudspeaker processor; `abilities` say what it can be set to.

    `max_input_dbu` and `max_output_dbu` are where its input and output clip (sine, rms),
    `output_noise_dbu` is its own noise at an output.
    """

    name: str
    inputs: int
    outputs: int
    max_output_dbu: Figure = UNKNOWN
    max_input_dbu: Figure = UNKNOWN
    output_noise_dbu: Figure = UNKNOWN
    abilities: ProcessorAbilities = field(default_factory=ProcessorAbilities)


@dataclass(frozen=True, slots=True)
class MixerSheet:
    """The mixer that feeds the processors: where its output clips (sine, rms), and its noise."""

    name: str
    max_output_dbu: Figure = UNKNOWN
    output_noise_dbu: Figure = UNKNOWN
