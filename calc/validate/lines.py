"""Drive lines that cannot be: names that lead nowhere, channels used twice."""

from collections.abc import Iterator, Sequence

from calc.electrical.loads import channels_of
from calc.lookup import Lookup
from calc.system import Choices, DriveLine, SystemDescription
from calc.validate.mains import mains_references
from calc.validate.places import support_references
from calc.validate.ranges import LINE_RANGES, numbers


def references(system: SystemDescription) -> Iterator[str]:
    """Names that lead nowhere, everywhere in a description."""
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
    yield from mains_references(system)
    yield from support_references(system)


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


def line_faults(line: DriveLine, lookup: Lookup) -> Iterator[str]:
    """Links, channels, outputs and levels that cannot be."""
    label = f"Drive line '{line.name}'"
    yield from numbers(line, LINE_RANGES, label)
    yield from limiter_choice(line, label)
    if not -120 <= line.level_control_db <= 0:
        yield f"{label}: its level control must lie between -120 and 0 dB (fully up)."
    if line.links and not line.links[0].from_amplifier:
        yield f"{label}: the first cable must start at the amplifier."
    if line.links and line.links[0].series_with_previous:
        yield f"{label}: its first box has no box before it to be in series with."
    if any(link.series_with_previous and link.from_amplifier for link in line.links[1:]):
        yield f"{label}: a box in series with another cannot start at the amplifier."
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


def limiter_choice(part: Choices | DriveLine, label: str) -> Iterator[str]:
    """A limiter is set by programme power only where a named person decided it."""
    if part.limiter_basis == "programme" and not part.limiter_basis_by.strip():
        yield (
            f"{label}: limiters by programme power need the name of who decided it; "
            "without one, continuous power counts."
        )


def channels_used_twice(lines: Sequence[DriveLine]) -> Iterator[str]:
    """Each channel is driven by one line at most."""
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
