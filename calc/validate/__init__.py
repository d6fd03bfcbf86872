"""Whether a description makes sense, in sentences about what does not."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Protocol

from calc.lookup import Lookup
from calc.system import SystemDescription
from calc.validate.alignments import alignment, alignment_references, listening_spot
from calc.validate.lines import channels_used_twice, limiter_choice, line_faults, references
from calc.validate.mains import circuit, feed, supply
from calc.validate.places import (
    area,
    extra_load,
    microphone,
    microphone_references,
    placement,
    support,
)
from calc.validate.processing import outputs
from calc.validate.ranges import CHOICES_RANGES, SURROUNDINGS_RANGES, numbers
from calc.validate.sheets import amplifier, cable, loudspeaker, mixer, place, processor
from calc.validate.sound import listening_place, sound


class _Named(Protocol):
    @property
    def name(self) -> str: ...


def validate(system: SystemDescription) -> list[str]:
    """Find what makes a description impossible to check.

    Unknown figures are no fault; names that lead nowhere, figures that cannot be, and channels
    used twice are.

    Returns
    -------
    list of str
        Sentences, empty when the description is valid.
    """
    faults = list(numbers(system.surroundings, SURROUNDINGS_RANGES, "The air"))
    faults += numbers(system.choices, CHOICES_RANGES, "The choices")
    faults += limiter_choice(system.choices, "The choices")
    faults += [] if system.mixer is None else mixer(system.mixer)
    faults += sound(system)
    for label, parts, check in _kinds(system):
        faults += _names(label, parts)
        for part in parts:
            faults += check(part)
    faults += references(system)
    faults += alignment_references(system)
    faults += microphone_references(system)
    if not faults:
        lookup = Lookup.of(system)
        for line in system.drive_lines:
            faults += line_faults(line, lookup)
        faults += channels_used_twice(system.drive_lines)
        faults += outputs(system, lookup)
    return faults


def _kinds(
    system: SystemDescription,
) -> list[tuple[str, Sequence[_Named], Callable[..., Iterable[str]]]]:
    return [
        ("Loudspeaker", system.loudspeakers, loudspeaker),
        ("Amplifier", system.amplifiers, amplifier),
        ("Cable", system.cables, cable),
        ("Processor", system.processors, processor),
        ("Amplifier place", system.amplifier_places, place),
        ("Processor place", system.processor_places, _nothing),
        ("Placement", system.placements, placement),
        ("Drive line", system.drive_lines, _nothing),
        ("Area", system.areas, area),
        ("Supply", system.supplies, supply),
        ("Circuit", system.circuits, circuit),
        ("Rack feed", system.rack_feeds, feed),
        ("Support", system.supports, support),
        ("Extra load", system.extra_loads, extra_load),
        ("Place", system.places, listening_place),
        ("Listening spot", system.spots, listening_spot),
        ("Alignment", system.alignments, alignment),
        ("Stage microphone", system.microphones, microphone),
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
