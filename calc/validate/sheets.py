"""Data sheets that cannot be."""

from collections.abc import Iterator
from itertools import pairwise

from calc.acoustics.directivity.axis import axis_faults
from calc.acoustics.directivity.table import balloon_faults
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    CableSheet,
    ImpedanceCurve,
    LoudspeakerSheet,
    MixerSheet,
    ProcessorSheet,
    Way,
)
from calc.validate.processing import abilities
from calc.validate.ranges import (
    AMPLIFIER_RANGES,
    CABLE_RANGES,
    FREQUENCY,
    GAIN,
    IMPEDANCE,
    MIXER_RANGES,
    POSITIVE,
    PROCESSOR_RANGES,
    SIZE,
    WAY_RANGES,
    ZERO_UP,
    numbers,
)
from calc.words import number

MOST_POLE_PAIRS = 32


def loudspeaker(sheet: LoudspeakerSheet) -> Iterator[str]:
    """Ways of different names, figures that can be."""
    label = f"Loudspeaker '{sheet.name}'"
    if not sheet.ways:
        yield f"{label} has no way."
    names = [way.name for way in sheet.ways]
    if len(set(names)) < len(names):
        yield f"{label} has two ways of one name."
    yield from numbers(sheet, {"width_m": SIZE, "height_m": SIZE, "mass_kg": ZERO_UP}, label)
    for way in sheet.ways:
        yield from _way(way, f"{label}, way '{way.name}'")


def _way(way: Way, label: str) -> Iterator[str]:
    yield from numbers(way, WAY_RANGES, label)
    low, high = way.low_hz.value, way.high_hz.value
    if low is not None and high is not None and low >= high:
        yield f"{label}: its lowest frequency must lie below its highest."
    noise, peak = way.noise_power_w.value, way.peak_power_w.value
    if noise is not None and peak is not None and peak < noise:
        yield f"{label}: its peak power is below its noise power."
    programme = way.programme_power_w.value
    if noise is not None and programme is not None and programme < noise:
        yield f"{label}: its programme power is below its noise power."
    if not 1 <= way.pole_pair <= MOST_POLE_PAIRS:
        yield f"{label}: its pole pair must lie between 1 and {MOST_POLE_PAIRS}."
    if way.impedance_curve is not None:
        yield from _curve(way.impedance_curve, f"{label}, impedance curve")
    if way.balloon is not None:
        yield from (f"{label}, balloon: {fault}" for fault in balloon_faults(way.balloon))
    if way.axis_response is not None:
        yield from (f"{label}, axis response: {f}" for f in axis_faults(way.axis_response))


def _curve(curve: ImpedanceCurve, label: str) -> Iterator[str]:
    count = len(curve.frequency_hz)
    if count < 2:
        yield f"{label}: needs at least two points."
    if len(curve.magnitude_ohm) != count or len(curve.phase_deg) not in (0, count):
        yield f"{label}: needs one magnitude, and one phase or none at all, for each frequency."
    if any(b <= a for a, b in pairwise(curve.frequency_hz)):
        yield f"{label}: its frequencies must rise."
    for values, (low, high), what in (
        (curve.frequency_hz, FREQUENCY, "frequencies"),
        (curve.magnitude_ohm, IMPEDANCE, "magnitudes"),
        (curve.phase_deg, (-90.0, 90.0), "phases"),
    ):
        if not all(low <= value <= high for value in values):
            yield f"{label}: its {what} must lie between {number(low)} and {number(high)}."
    if curve.basis == "unknown":
        yield f"{label}: must say whether it is measured, from a data sheet or assumed."


def amplifier(sheet: AmplifierSheet) -> Iterator[str]:
    """Channels, ratings and modes that can be."""
    label = f"Amplifier '{sheet.name}'"
    if not 1 <= sheet.channels <= 64:
        yield f"{label}: must have 1 to 64 channels."
    yield from numbers(sheet, AMPLIFIER_RANGES, label)
    loads = [(rating.mode, rating.load_ohm) for rating in sheet.ratings]
    if len(set(loads)) < len(loads):
        yield f"{label} has two ratings of one mode and load."
    for rating in sheet.ratings:
        ranges = {"load_ohm": IMPEDANCE, "power_w": POSITIVE}
        yield from numbers(rating, ranges, f"{label}, {rating.mode} rating")
    modes = [limits.mode for limits in sheet.modes]
    if len(set(modes)) < len(modes):
        yield f"{label} states one mode twice."
    for limits in sheet.modes:
        ranges = {"minimum_load_ohm": IMPEDANCE, "extra_gain_db": (-20.0, 20.0)}
        yield from numbers(limits, ranges, f"{label}, {limits.mode} mode")


def cable(sheet: CableSheet) -> Iterator[str]:
    """An area and a length that can be."""
    yield from numbers(sheet, CABLE_RANGES, f"Cable '{sheet.name}'")
    if not 1 <= sheet.pole_pairs <= MOST_POLE_PAIRS:
        yield f"Cable '{sheet.name}': must have 1 to {MOST_POLE_PAIRS} pole pairs."


def processor(sheet: ProcessorSheet) -> Iterator[str]:
    """Levels and steps that can be."""
    label = f"Processor '{sheet.name}'"
    yield from numbers(sheet, PROCESSOR_RANGES, label)
    yield from abilities(sheet.abilities, label)


def mixer(sheet: MixerSheet) -> Iterator[str]:
    """Levels that can be."""
    yield from numbers(sheet, MIXER_RANGES, f"Mixer '{sheet.name}'")


def place(part: AmplifierPlace) -> Iterator[str]:
    """A gain that can be."""
    yield from numbers(part, {"gain_db": GAIN}, f"Amplifier place '{part.name}'")
