"""Ears, room and show of an event, as calc's coverage counts with them."""

from collections.abc import Iterable
from typing import cast

from calc import system
from calc.figure import UNKNOWN, Figure
from rigs.events.models import Event
from venues import models

Octaves = tuple[float | None, ...]

HOURS_OF_A_DAY = 24


def places(event: Event) -> tuple[system.ListeningPlace, ...]:
    """Crew and front row, in the order of their names."""
    rows = sorted(event.space.places.all(), key=lambda place: place.name)
    return tuple(map(_place, rows))


def room(event: Event) -> system.Room | None:
    """The room around the areas; None outdoors."""
    space = event.space
    if not space.indoors:
        return None
    surfaces = sorted(space.surfaces.all(), key=lambda surface: surface.name)
    return system.Room(
        volume_m3=_figure(space.volume_m3),
        surfaces=tuple(map(_surface, surfaces)),
        decay_s=_octaves(space.decay_s),
        noise_db=_octaves(space.noise_db),
    )


def show(event: Event) -> system.Show:
    """How long and how loud; the show's hours stand in for the time that people are there.

    A show over more than a day has pauses that nobody wrote down: its hours are unknown.
    """
    hours = (event.show_until - event.show_from).total_seconds() / 3600
    return system.Show(
        target_dba=_figure(event.target_dba),
        hours=Figure(hours) if hours <= HOURS_OF_A_DAY else UNKNOWN,
        programme_dbu=_figure(event.programme_dbu),
    )


def _place(place: models.ListeningPlace) -> system.ListeningPlace:
    return system.ListeningPlace(
        name=place.name,
        x_m=float(place.x_m),
        y_m=float(place.y_m),
        z_m=float(place.z_m),
        kind=cast(system.PlaceKind, place.kind),
        hours=_figure(place.hours),
    )


def _surface(surface: models.RoomSurface) -> system.RoomSurface:
    return system.RoomSurface(
        name=surface.name,
        area_m2=_figure(surface.area_m2),
        absorption=_octaves(surface.absorption),
    )


def _figure(value: float | None) -> Figure:
    return UNKNOWN if value is None else Figure(float(value))


def _octaves(values: Iterable[float | None] | None) -> Octaves:
    return tuple(None if value is None else float(value) for value in values or ())
