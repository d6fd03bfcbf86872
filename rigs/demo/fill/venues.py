"""Venues with their spaces."""

from rigs.demo.data import venues as data
from rigs.demo.fill.catalogue import create_all, save
from venues.models import (
    AudienceArea,
    Circuit,
    HangPoint,
    ListeningPlace,
    RoomSurface,
    Space,
    Supply,
    Venue,
)


def fill_venues() -> dict[tuple[str, str], Space]:
    """Write the venues; returns the spaces by the names of venue and space."""
    spaces = {}
    for plan in data.VENUES:
        venue = Venue(name=plan.name, town=plan.town, zone=plan.zone, notes=plan.notes)
        save(venue)
        for each in plan.spaces:
            spaces[plan.name, each.name] = _space(venue, each)
    return spaces


def _space(venue: Venue, plan: data.SpacePlan) -> Space:
    space = Space(
        venue=venue, name=plan.name, indoors=plan.indoors, volume_m3=plan.volume_m3,
        decay_s=list(plan.decay_s), noise_db=list(plan.noise_db),
    )  # fmt: skip
    save(space)
    create_all(
        AudienceArea,
        (
            AudienceArea(
                space=space, name=a.name, corners=[list(corner) for corner in a.corners],
                floor_z_m=a.floor_z, ear_height_m=a.ear, rake_deg=a.rake, kind=a.kind,
            )
            for a in plan.areas
        ),
    )  # fmt: skip
    supplies = {
        s.name: Supply(
            space=space, name=s.name, phases=s.phases, amps_per_phase=s.amps,
            voltage_v=s.volts, generator=s.generator,
        )
        for s in plan.supplies
    }  # fmt: skip
    create_all(Supply, supplies.values())
    create_all(
        Circuit,
        (
            Circuit(
                space=space, supply=supplies[c.supply], name=c.name, phase=c.phase,
                breaker_a=c.amps,
            )
            for c in plan.circuits
        ),
    )  # fmt: skip
    create_all(
        HangPoint,
        (
            HangPoint(space=space, name=p.name, x_m=p.x, y_m=p.y, z_m=p.z, limit_kg=p.limit_kg)
            for p in plan.points
        ),
    )
    create_all(
        ListeningPlace,
        (
            ListeningPlace(
                space=space, name=p.name, kind=p.kind, x_m=p.x, y_m=p.y, z_m=p.z, hours=p.hours
            )
            for p in plan.places
        ),
    )
    create_all(
        RoomSurface,
        (
            RoomSurface(space=space, name=s.name, area_m2=s.area_m2, absorption=list(s.absorption))
            for s in plan.surfaces
        ),
    )
    return space
