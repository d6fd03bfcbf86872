"""What the sound's description cannot be: places, rooms, shows."""

import math
from collections.abc import Iterator, Sequence

from calc.system import ListeningPlace, Room, SystemDescription
from calc.validate.ranges import PLACE, SHOW_RANGES, numbers
from calc.words import number

OCTAVES = 7
OPTIONAL_PER_OCTAVE = (0, OCTAVES)


def listening_place(place: ListeningPlace) -> Iterator[str]:
    """A position and a time that can be."""
    ranges = {"x_m": PLACE, "y_m": PLACE, "z_m": PLACE, "hours": (0.01, 24.0)}
    yield from numbers(place, ranges, f"Place '{place.name}'")


def sound(system: SystemDescription) -> Iterator[str]:
    """The room and the show."""
    if system.room is not None:
        yield from _room(system.room)
    if system.show is not None:
        yield from numbers(system.show, SHOW_RANGES, "The show")


def _room(room: Room) -> Iterator[str]:
    yield from numbers(room, {"volume_m3": (1.0, 1e8)}, "The room")
    yield from _octaves(room.decay_s, (0.05, 100.0), "The room: its decay times")
    yield from _octaves(room.noise_db, (-20.0, 140.0), "The room: its noise levels")
    names = [surface.name for surface in room.surfaces]
    if len(set(names)) < len(names):
        yield "The room has two surfaces of one name."
    for surface in room.surfaces:
        label = f"The room's surface '{surface.name}'"
        yield from numbers(surface, {"area_m2": (0.01, 1e7)}, label)
        yield from _octaves(surface.absorption, (0.0, 1.0), f"{label}: its absorption", (OCTAVES,))


def _octaves(
    values: Sequence[float | None],
    allowed: tuple[float, float],
    what: str,
    counts: tuple[int, ...] = OPTIONAL_PER_OCTAVE,
) -> Iterator[str]:
    low, high = allowed
    if len(values) not in counts:
        yield f"{what} must be seven, for the octaves 125 Hz to 8 kHz."
    if any(v is not None and not (math.isfinite(v) and low <= v <= high) for v in values):
        yield f"{what} must lie between {number(low)} and {number(high)}."
