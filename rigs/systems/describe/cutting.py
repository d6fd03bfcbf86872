"""A description cut down to what some of its drive lines need."""

from collections.abc import Collection
from dataclasses import replace

from calc.figure import UNKNOWN
from calc.system import (
    AmplifierSheet,
    Choices,
    DriveLine,
    LoudspeakerSheet,
    Placement,
    ProcessorAbilities,
    ProcessorSheet,
    Surroundings,
    SystemDescription,
)


def cut_to_lines(system: SystemDescription, names: Collection[str]) -> SystemDescription:
    """Only these drive lines, and what they are made of. Their figures stay the same."""
    lines = tuple(line for line in system.drive_lines if line.name in names)
    boxes = {link.placement for line in lines for link in line.links}
    cables = {link.cable for line in lines for link in line.links}
    amps = {line.amplifier for line in lines}
    processors = {line.processor for line in lines}
    fed = {(line.processor, line.output) for line in lines}
    placements = tuple(box for box in system.placements if box.name in boxes)
    places = tuple(place for place in system.amplifier_places if place.name in amps)
    units = tuple(place for place in system.processor_places if place.name in processors)
    sheets = {box.sheet for box in placements}
    sheets |= {place.sheet for place in places} | {unit.sheet for unit in units}
    return replace(
        system,
        drive_lines=lines,
        placements=tuple(replace(box, support="") for box in placements),
        amplifier_places=places,
        processor_places=units,
        loudspeakers=tuple(s for s in system.loudspeakers if s.name in sheets),
        amplifiers=tuple(s for s in system.amplifiers if s.name in sheets),
        processors=tuple(s for s in system.processors if s.name in sheets),
        cables=tuple(s for s in system.cables if s.name in cables),
        supplies=(),
        circuits=(),
        rack_feeds=(),
        supports=(),
        extra_loads=(),
        outputs=tuple(o for o in system.outputs if (o.processor, o.output) in fed),
        spots=(),
        measured=(),
        alignments=(),
        microphones=(),
    )


def limiter_inputs(system: SystemDescription, name: str) -> SystemDescription:
    """What a line's limiter stands on: amplifier, boxes, mode, gain, level control, basis.

    Everything else is blanked, so that a moved box or another cable voids nothing.
    """
    cut = cut_to_lines(system, {name})
    choices = Choices(
        limiter_basis=system.choices.limiter_basis,
        limiter_basis_by=system.choices.limiter_basis_by,
    )
    return replace(
        cut,
        event="",
        space="",
        surroundings=Surroundings(),
        choices=choices,
        mixer=None,
        areas=(),
        places=(),
        room=None,
        show=None,
        outputs=(),
        cables=(),
        loudspeakers=tuple(map(_box, cut.loudspeakers)),
        amplifiers=tuple(map(_amplifier, cut.amplifiers)),
        amplifier_places=tuple(replace(p, unit="", rack="") for p in cut.amplifier_places),
        processors=tuple(map(_processor, cut.processors)),
        processor_places=tuple(replace(p, unit="") for p in cut.processor_places),
        placements=tuple(Placement(p.name, p.sheet, 0, 0, 0, 0, 0) for p in cut.placements),
        drive_lines=tuple(map(_line, cut.drive_lines)),
    )


def _line(line: DriveLine) -> DriveLine:
    links = tuple(
        replace(link, cable="", pieces=1, from_amplifier=not link.series_with_previous)
        for link in line.links
    )
    return replace(line, links=links, nearest_listener_m=None)


def _box(sheet: LoudspeakerSheet) -> LoudspeakerSheet:
    ways = tuple(
        replace(
            way,
            pole_pair=1,
            balloon=None,
            axis_response=None,
            piston_diameter_m=UNKNOWN,
            least_high_pass_hz=UNKNOWN,
            least_high_pass_order=None,
        )
        for way in sheet.ways
    )
    return replace(sheet, ways=ways, mass_kg=UNKNOWN, width_m=UNKNOWN, height_m=UNKNOWN)


def _amplifier(sheet: AmplifierSheet) -> AmplifierSheet:
    return replace(
        sheet,
        mains_v=UNKNOWN,
        idle_w=UNKNOWN,
        eighth_power_w=UNKNOWN,
        third_power_w=UNKNOWN,
        power_factor=UNKNOWN,
        inrush_a=UNKNOWN,
        output_noise_dbu=UNKNOWN,
    )


def _processor(sheet: ProcessorSheet) -> ProcessorSheet:
    limiter = sheet.abilities.limiter_dbu
    return replace(sheet, abilities=ProcessorAbilities(limiter_dbu=limiter))
