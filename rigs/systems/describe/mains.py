"""Racks on the mains, and loads on what bears them, as `calc` reads them.

A feed or a limit that belongs to a space which the event has left is not described: the pages
say so, and the sums go on without it.
"""

from collections.abc import Iterable
from operator import attrgetter
from typing import cast

from calc import system
from calc.figure import UNKNOWN, Figure
from rigs.events.completion import truck_load
from rigs.events.models import Event
from rigs.systems import models
from rigs.systems.describe.sheets import figure, stated
from venues.models import Circuit, Supply


def supply(row: Supply) -> system.Supply:
    """A mains supply; the venue says its figures."""
    return system.Supply(
        name=row.name,
        phases=row.phases,
        amps_per_phase=stated(row.amps_per_phase),
        voltage_v=stated(row.voltage_v),
        generator=row.generator,
    )


def circuit(row: Circuit) -> system.Circuit:
    """A socket of a supply with its own breaker."""
    return system.Circuit(
        name=row.name,
        supply=row.supply.name,
        phase=row.phase,
        breaker_a=stated(row.breaker_a),
    )


def feeds_in_use(event: Event) -> tuple[list[models.RackFeed], list[models.RackFeed]]:
    """Feeds of racks and supplies that are there, and those that lead nowhere any more."""
    racks = {place.rack for place in event.amplifierplaces.all() if place.rack}
    alone = {place.pk for place in event.amplifierplaces.all() if not place.rack}
    used: list[models.RackFeed] = []
    lost: list[models.RackFeed] = []
    for feed in sorted(event.rackfeeds.all(), key=attrgetter("load")):
        there = feed.rack in racks if feed.rack else feed.amplifier_place_id in alone
        here = feed.supply.space_id == event.space_id
        (used if there and here else lost).append(feed)
    return used, lost


def rack_feeds(event: Event) -> tuple[system.RackFeed, ...]:
    """Every feed that leads somewhere."""
    return tuple(map(_feed, feeds_in_use(event)[0]))


def _feed(feed: models.RackFeed) -> system.RackFeed:
    return system.RackFeed(
        rack=feed.load,
        supply=feed.supply.name,
        circuit=feed.circuit.name if feed.circuit else "",
        phase=feed.phase,
        length_m=figure(feed.cable, "length_m") if feed.cable else stated(feed.length_m),
        area_mm2=figure(feed.cable, "area_mm2") if feed.cable else stated(feed.area_mm2),
    )


def supports(event: Event) -> tuple[system.Support, ...]:
    """What bears loads, in the order of the names."""
    return tuple(
        system.Support(
            name=row.name,
            kind=cast(system.SupportKind, row.kind),
            limit_kg=stated(None if elsewhere(row, event) else row.marked_kg()),
        )
        for row in sorted(event.supports.all(), key=attrgetter("name"))
    )


def elsewhere(row: models.Support, event: Event) -> bool:
    """Whether a support is a hang point of a space that the event has left."""
    return row.hang_point is not None and row.hang_point.space_id != event.space_id


def extra_loads(event: Event) -> tuple[system.ExtraLoad, ...]:
    """Loads that somebody listed, and the kit list on the truck that carries it."""
    found: list[system.ExtraLoad] = []
    for row in sorted(event.supports.all(), key=attrgetter("name")):
        for load in sorted(row.loads.all(), key=attrgetter("name")):
            name = f"{row.name}: {load.name}"
            found.append(system.ExtraLoad(name, row.name, stated(load.mass_kg)))
        if row.carries_kit:
            found += _kit(event, row.name)
    return tuple(found)


def _kit(event: Event, truck: str) -> Iterable[system.ExtraLoad]:
    load = truck_load(event.kit.all())
    known = Figure(round(load.known_kg, 3))
    yield system.ExtraLoad(f"{truck}: kit list, {load.pieces} pieces", truck, known)
    if load.unknown_mass:
        name = f"{truck}: {load.unknown_mass} of unknown weight on the kit list"
        yield system.ExtraLoad(name, truck, UNKNOWN)


def mixer(event: Event) -> system.MixerSheet | None:
    """The event's mixer, if somebody named one."""
    for place in event.mixerplaces.all():
        sheet = place.mixer
        return system.MixerSheet(
            name=place.name,
            max_output_dbu=figure(sheet, "max_output_dbu")
            if sheet
            else stated(place.max_output_dbu),
            output_noise_dbu=figure(sheet, "output_noise_dbu")
            if sheet
            else stated(place.output_noise_dbu),
        )
    return None
