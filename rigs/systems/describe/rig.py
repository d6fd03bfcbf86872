"""One event's rig, read whole by `queries`, as the description that `calc` checks.

Names are the keys. Everything stands in the order of its name, so that the same rig gives
the same description, whatever order it was typed in.
"""

from collections.abc import Callable, Iterable
from operator import attrgetter
from typing import Any, Literal, TypeVar, cast

from calc import system
from rigs.catalogue.models import Item
from rigs.events.models import Event
from rigs.systems import models
from rigs.systems.describe import mains, processing, sheets, sound, stage
from venues.models import AudienceArea

Frozen = TypeVar("Frozen")
Resistance = Literal["maximum", "nominal"]


def freeze(event: Event) -> system.SystemDescription:
    """Describe an event that `queries.rig` or `queries.rigs` has read."""
    amplifiers = by_name(event.amplifierplaces.all())
    processors = by_name(event.processorplaces.all())
    boxes = by_name(event.placements.all())
    lines = by_name(event.drivelines.all())
    return system.SystemDescription(
        event=event.name,
        space=str(event.space),
        surroundings=system.Surroundings(
            temperature_c=float(event.temperature_c),
            humidity_pct=float(event.humidity_pct),
            pressure_kpa=float(event.pressure_kpa),
        ),
        choices=_choices(event),
        loudspeakers=_used(sheets.loudspeaker, (box.loudspeaker for box in boxes)),
        amplifiers=_used(sheets.amplifier, (place.amplifier for place in amplifiers)),
        cables=_used(sheets.cable, (k.cable for line in lines for k in line.links.all())),
        processors=_used(sheets.processor, (place.processor for place in processors)),
        amplifier_places=tuple(map(_amplifier_place, amplifiers)),
        processor_places=tuple(map(_processor_place, processors)),
        placements=tuple(map(_placement, boxes)),
        drive_lines=tuple(map(_line, lines)),
        areas=tuple(map(_area, by_name(event.space.areas.all()))),
        supplies=tuple(map(mains.supply, by_name(event.space.supplies.all()))),
        circuits=tuple(map(mains.circuit, by_name(event.space.circuits.all()))),
        mixer=mains.mixer(event),
        rack_feeds=mains.rack_feeds(event),
        supports=mains.supports(event),
        extra_loads=mains.extra_loads(event),
        places=sound.places(event),
        room=sound.room(event),
        show=sound.show(event),
        outputs=processing.outputs(event),
        spots=processing.spots(event),
        measured=processing.measured(event),
        alignments=processing.alignments(event),
        microphones=stage.microphones(event),
    )


def _choices(event: Event) -> system.Choices:
    crest = float(event.crest_factor_db)
    for row in event.rigchoices.all():
        return system.Choices(
            crest_factor_db=crest,
            cable_temperature_c=float(row.cable_temperature_c),
            conductor_resistance=cast(Resistance, row.conductor_resistance),
            limiter_basis=cast(system.LimiterBasis, row.limiter_basis),
            limiter_basis_by=str(row.limiter_basis_by or ""),
            coherent_below_hz=float(row.coherent_below_hz),
            equivalent_distance_m=float(row.equivalent_distance_m),
        )
    return system.Choices(crest_factor_db=crest)


def by_name(rows: Iterable[Any]) -> list[Any]:
    """Rows in the order of their names, by code point: no server's sorting rules enter."""
    return sorted(rows, key=attrgetter("name"))


def _used(
    freeze_sheet: Callable[[Any], Frozen], items: Iterable[Item | None]
) -> tuple[Frozen, ...]:
    """Each sheet that is used, once, by name. Two of one name stay two: calc refuses those."""
    found = {item.pk: item for item in items if item is not None}
    return tuple(map(freeze_sheet, sorted(found.values(), key=lambda item: (str(item), item.pk))))


def _amplifier_place(place: models.AmplifierPlace) -> system.AmplifierPlace:
    return system.AmplifierPlace(
        name=place.name,
        rack=place.rack,
        sheet=str(place.amplifier),
        unit=_serial(place),
        gain_db=_number(place.gain_db),
        linked_inputs=place.linked_inputs,
    )


def _processor_place(place: models.ProcessorPlace) -> system.ProcessorPlace:
    return system.ProcessorPlace(name=place.name, sheet=str(place.processor), unit=_serial(place))


def _placement(box: models.Placement) -> system.Placement:
    return system.Placement(
        name=box.name,
        sheet=str(box.loudspeaker),
        x_m=float(box.x_m),
        y_m=float(box.y_m),
        z_m=float(box.z_m),
        azimuth_deg=float(box.azimuth_deg),
        tilt_deg=float(box.tilt_deg),
        unit=_serial(box),
        support=box.support.name if box.support else "",
        roll_deg=float(box.roll_deg),
        group=box.group,
    )


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)


def _serial(
    place: models.AmplifierPlace | models.ProcessorPlace | models.Placement,
) -> str:
    return place.unit.serial if place.unit else ""


def _line(line: models.DriveLine) -> system.DriveLine:
    links = sorted(line.links.all(), key=attrgetter("order"))
    return system.DriveLine(
        name=line.name,
        processor=line.processor_place.name if line.processor_place else "",
        output=line.output,
        amplifier=line.amplifier_place.name,
        first_channel=line.first_channel,
        mode=cast(system.Mode, line.mode),
        level_control_db=float(line.level_control_db),
        links=tuple(_link(link, first=number == 0) for number, link in enumerate(links)),
        attack_ms=_number(line.attack_ms),
        release_ms=_number(line.release_ms),
        limiter_basis=cast(system.LimiterBasis, line.limiter_basis) or None,
        limiter_basis_by=str(line.limiter_basis_by or ""),
        nearest_listener_m=_number(line.nearest_listener_m),
    )


def _link(link: models.Link, *, first: bool) -> system.Link:
    return system.Link(
        placement=link.placement.name,
        way=link.way.name,
        cable=str(link.cable) if link.cable else "",
        pieces=link.pieces,
        from_amplifier=first or link.from_amplifier,
        series_with_previous=link.series_with_previous and not first,
    )


def _area(area: AudienceArea) -> system.AudienceArea:
    return system.AudienceArea(
        name=area.name,
        corners=tuple((float(x), float(y)) for x, y in area.corners),
        floor_z_m=float(area.floor_z_m),
        ear_height_m=float(area.ear_height_m),
        rake_deg=float(area.rake_deg),
        rake_azimuth_deg=float(area.rake_azimuth_deg),
        kind=cast(system.AreaKind, area.kind),
    )
