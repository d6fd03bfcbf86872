"""Whether a description makes sense, in sentences about what does not."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Protocol

from calc.acoustics.geometry import crosses_itself, polygon_area_m2
from calc.electrical.loads import channels_of
from calc.figure import Figure
from calc.lookup import Lookup
from calc.system import (
    AmplifierSheet,
    AudienceArea,
    CableSheet,
    DriveLine,
    LoudspeakerSheet,
    Placement,
    ProcessorSheet,
    Supply,
    SystemDescription,
    Way,
)
from calc.words import number


class _Named(Protocol):
    @property
    def name(self) -> str: ...


Range = tuple[float, float]
LEVEL: Range = (-200.0, 200.0)
GAIN: Range = (-20.0, 80.0)
POSITIVE: Range = (1e-6, 1e6)
ZERO_UP: Range = (0.0, 1e6)
ANGLE: Range = (1.0, 360.0)
FREQUENCY: Range = (1.0, 100_000.0)
SIZE: Range = (0.01, 20.0)
PLACE: Range = (-10_000.0, 10_000.0)
TURN: Range = (-360.0, 360.0)
IMPEDANCE: Range = (0.1, 10_000.0)

WAY_RANGES: dict[str, Range] = {
    "rated_impedance_ohm": IMPEDANCE,
    "minimum_impedance_ohm": IMPEDANCE,
    "noise_power_w": POSITIVE,
    "peak_power_w": POSITIVE,
    "sensitivity_db": LEVEL,
    "low_hz": FREQUENCY,
    "high_hz": FREQUENCY,
    "coverage_h_deg": ANGLE,
    "coverage_v_deg": ANGLE,
}
AMPLIFIER_RANGES: dict[str, Range] = {
    "gain_db": GAIN,
    "sensitivity_v": POSITIVE,
    "sensitivity_load_ohm": IMPEDANCE,
    "damping_factor": POSITIVE,
    "mains_v": (1.0, 1000.0),
    "idle_w": ZERO_UP,
    "eighth_power_w": ZERO_UP,
    "power_factor": (0.01, 1.0),
    "inrush_a": ZERO_UP,
}
CABLE_RANGES: dict[str, Range] = {"area_mm2": (0.05, 1000.0), "length_m": (0.0, 5000.0)}
PROCESSOR_RANGES: dict[str, Range] = {
    "max_output_dbu": (-60.0, 60.0),
    "limiter_step_db": (0.001, 20.0),
}
SURROUNDINGS_RANGES: dict[str, Range] = {
    "temperature_c": (-40.0, 60.0),
    "humidity_pct": (0.0, 100.0),
    "pressure_kpa": (50.0, 120.0),
}
CHOICES_RANGES: dict[str, Range] = {
    "crest_factor_db": (3.0, 30.0),
    "cable_temperature_c": (-40.0, 120.0),
    "grid_spacing_m": (0.05, 50.0),
}


def validate(system: SystemDescription) -> list[str]:
    """Find what makes a description impossible to check.

    Unknown figures are no fault; names that lead nowhere, figures that cannot be, and channels
    used twice are.

    Returns
    -------
    list of str
        Sentences, empty when the description is valid.
    """
    faults = list(_numbers(system.surroundings, SURROUNDINGS_RANGES, "The air"))
    faults += _numbers(system.choices, CHOICES_RANGES, "The choices")
    for label, parts, check in _kinds(system):
        faults += _names(label, parts)
        for part in parts:
            faults += check(part)
    faults += _references(system)
    if not faults:
        lookup = Lookup.of(system)
        for line in system.drive_lines:
            faults += _line(line, lookup)
        faults += _channels_used_twice(system.drive_lines)
    return faults


def _kinds(
    system: SystemDescription,
) -> list[tuple[str, Sequence[_Named], Callable[..., Iterable[str]]]]:
    return [
        ("Loudspeaker", system.loudspeakers, _loudspeaker),
        ("Amplifier", system.amplifiers, _amplifier),
        ("Cable", system.cables, _cable),
        ("Processor", system.processors, _processor),
        ("Amplifier place", system.amplifier_places, _nothing),
        ("Processor place", system.processor_places, _nothing),
        ("Placement", system.placements, _placement),
        ("Drive line", system.drive_lines, _nothing),
        ("Area", system.areas, _area),
        ("Supply", system.supplies, _supply),
    ]


def _names(label: str, parts: Sequence[_Named]) -> Iterator[str]:
    seen = set()
    for part in parts:
        if not part.name.strip():
            yield f"{label}: one has no name."
        elif part.name in seen:
            yield f"{label} '{part.name}' is there twice; names must differ."
        seen.add(part.name)


def _nothing(part: object) -> Iterator[str]:
    return iter(())


def _numbers(part: object, ranges: dict[str, Range], label: str) -> Iterator[str]:
    for field, (low, high) in ranges.items():
        held = getattr(part, field)
        value = held.value if isinstance(held, Figure) else held
        if value is not None and not low <= value <= high:
            yield (
                f"{label}: {field} must lie between {number(low)} and {number(high)}, "
                f"it is {number(value)}."
            )


def _loudspeaker(sheet: LoudspeakerSheet) -> Iterator[str]:
    label = f"Loudspeaker '{sheet.name}'"
    if not sheet.ways:
        yield f"{label} has no way."
    names = [way.name for way in sheet.ways]
    if len(set(names)) < len(names):
        yield f"{label} has two ways of one name."
    yield from _numbers(sheet, {"width_m": SIZE, "height_m": SIZE, "mass_kg": ZERO_UP}, label)
    for way in sheet.ways:
        yield from _way(way, f"{label}, way '{way.name}'")


def _way(way: Way, label: str) -> Iterator[str]:
    yield from _numbers(way, WAY_RANGES, label)
    low, high = way.low_hz.value, way.high_hz.value
    if low is not None and high is not None and low >= high:
        yield f"{label}: its lowest frequency must lie below its highest."
    noise, peak = way.noise_power_w.value, way.peak_power_w.value
    if noise is not None and peak is not None and peak < noise:
        yield f"{label}: its peak power is below its noise power."


def _amplifier(sheet: AmplifierSheet) -> Iterator[str]:
    label = f"Amplifier '{sheet.name}'"
    if not 1 <= sheet.channels <= 64:
        yield f"{label}: must have 1 to 64 channels."
    yield from _numbers(sheet, AMPLIFIER_RANGES, label)
    loads = [(rating.mode, rating.load_ohm) for rating in sheet.ratings]
    if len(set(loads)) < len(loads):
        yield f"{label} has two ratings of one mode and load."
    for rating in sheet.ratings:
        ranges = {"load_ohm": IMPEDANCE, "power_w": POSITIVE}
        yield from _numbers(rating, ranges, f"{label}, {rating.mode} rating")
    modes = [limits.mode for limits in sheet.modes]
    if len(set(modes)) < len(modes):
        yield f"{label} states one mode twice."
    for limits in sheet.modes:
        ranges = {"minimum_load_ohm": IMPEDANCE, "extra_gain_db": (-20.0, 20.0)}
        yield from _numbers(limits, ranges, f"{label}, {limits.mode} mode")


def _cable(sheet: CableSheet) -> Iterator[str]:
    yield from _numbers(sheet, CABLE_RANGES, f"Cable '{sheet.name}'")


def _processor(sheet: ProcessorSheet) -> Iterator[str]:
    yield from _numbers(sheet, PROCESSOR_RANGES, f"Processor '{sheet.name}'")


def _placement(placement: Placement) -> Iterator[str]:
    ranges = {
        "x_m": PLACE, "y_m": PLACE, "z_m": PLACE, "azimuth_deg": TURN, "tilt_deg": (-90.0, 90.0)
    }  # fmt: skip
    yield from _numbers(placement, ranges, f"Placement '{placement.name}'")


def _area(area: AudienceArea) -> Iterator[str]:
    label = f"Area '{area.name}'"
    if len(area.corners) < 3:
        yield f"{label} needs at least three corners."
    elif crosses_itself(area.corners):
        yield f"{label}: its outline crosses itself. Put the corners in their order around it."
    elif polygon_area_m2(area.corners) < 1e-6:
        yield f"{label} has no surface."
    if any(abs(value) > PLACE[1] for corner in area.corners for value in corner):
        yield f"{label}: its corners must lie within {number(PLACE[1])} m."
    ranges = {
        "floor_z_m": PLACE,
        "ear_height_m": (0.0, 10.0),
        "rake_deg": (-60.0, 60.0),
        "rake_azimuth_deg": TURN,
    }
    yield from _numbers(area, ranges, label)


def _supply(supply: Supply) -> Iterator[str]:
    label = f"Supply '{supply.name}'"
    if supply.phases not in (1, 2, 3):
        yield f"{label}: must have 1, 2 or 3 phases."
    yield from _numbers(
        supply, {"amps_per_phase": (0.1, 10_000.0), "voltage_v": (1.0, 1000.0)}, label
    )


def _references(system: SystemDescription) -> Iterator[str]:
    lookup = Lookup.of(system)
    for placement in system.placements:
        if placement.sheet not in lookup.loudspeakers:
            yield f"Placement '{placement.name}': there is no loudspeaker '{placement.sheet}'."
    for place in system.amplifier_places:
        if place.sheet not in lookup.amplifiers:
            yield f"Amplifier place '{place.name}': there is no amplifier '{place.sheet}'."
    for unit in system.processor_places:
        if unit.sheet not in lookup.processors:
            yield f"Processor place '{unit.name}': there is no processor '{unit.sheet}'."
    for line in system.drive_lines:
        yield from _line_references(line, lookup)


def _line_references(line: DriveLine, lookup: Lookup) -> Iterator[str]:
    label = f"Drive line '{line.name}'"
    if line.amplifier and line.amplifier not in lookup.amplifier_places:
        yield f"{label}: there is no amplifier place '{line.amplifier}'."
    if line.processor and line.processor not in lookup.processor_places:
        yield f"{label}: there is no processor place '{line.processor}'."
    for link in line.links:
        if link.cable and link.cable not in lookup.cables:
            yield f"{label}: there is no cable '{link.cable}'."
        if link.placement not in lookup.placements:
            yield f"{label}: there is no placement '{link.placement}'."
            continue
        sheet = lookup.loudspeakers.get(lookup.placements[link.placement].sheet)
        if sheet is not None and link.way not in {way.name for way in sheet.ways}:
            yield f"{label}: '{sheet.name}' at '{link.placement}' has no way '{link.way}'."


def _line(line: DriveLine, lookup: Lookup) -> Iterator[str]:
    label = f"Drive line '{line.name}'"
    if not -120 <= line.level_control_db <= 0:
        yield f"{label}: its level control must lie between -120 and 0 dB (fully up)."
    if line.links and not line.links[0].from_amplifier:
        yield f"{label}: the first cable must start at the amplifier."
    boxes = [(link.placement, link.way) for link in line.links]
    if len(set(boxes)) < len(boxes):
        yield f"{label}: one box way hangs on it twice."
    if any(not 1 <= link.pieces <= 100 for link in line.links):
        yield f"{label}: a run has 1 to 100 cables."
    place = lookup.amplifier_places.get(line.amplifier)
    if place is not None:
        channels = lookup.amplifiers[place.sheet].channels
        last = line.first_channel + channels_of(line.mode) - 1
        if line.first_channel < 1 or last > channels:
            yield (
                f"{label}: '{line.amplifier}' has {channels} channels; "
                f"{line.mode} from channel {line.first_channel} does not fit."
            )
    unit = lookup.processor_places.get(line.processor)
    if unit is not None and line.output is not None:
        outputs = lookup.processors[unit.sheet].outputs
        if not 1 <= line.output <= outputs:
            yield f"{label}: '{line.processor}' has {outputs} outputs, not number {line.output}."


def _channels_used_twice(lines: Sequence[DriveLine]) -> Iterator[str]:
    users: dict[tuple[str, int], str] = {}
    for line in lines:
        if not line.amplifier:
            continue
        for channel in range(line.first_channel, line.first_channel + channels_of(line.mode)):
            other = users.setdefault((line.amplifier, channel), line.name)
            if other != line.name:
                yield (
                    f"Channel {channel} of '{line.amplifier}' is used by drive lines "
                    f"'{other}' and '{line.name}'."
                )
