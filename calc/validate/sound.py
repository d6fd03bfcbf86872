"""What the sound's description cannot be: places, rooms, shows, filters."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from calc.system import DriveLine, LineResponse, ListeningPlace, Room, SystemDescription
from calc.validate.ranges import FREQUENCY, PLACE, SHOW_RANGES, numbers
from calc.words import number

OCTAVES = 7
OPTIONAL_PER_OCTAVE = (0, OCTAVES)


def listening_place(place: ListeningPlace) -> Iterator[str]:
    """A position and a time that can be."""
    ranges = {"x_m": PLACE, "y_m": PLACE, "z_m": PLACE, "hours": (0.01, 24.0)}
    yield from numbers(place, ranges, f"Place '{place.name}'")


def line_filters(line: DriveLine) -> Iterator[str]:
    """Filters that can be."""
    if line.response is not None:
        yield from _response(line.response, f"Drive line '{line.name}', filters")


def _response(response: LineResponse, label: str) -> Iterator[str]:
    count = len(response.frequency_hz)
    if count < 2:
        yield f"{label}: need at least two points."
    if len(response.level_db) != count or len(response.phase_deg) not in (0, count):
        yield f"{label}: need one level, and one phase or none at all, for each frequency."
    if any(b <= a for a, b in pairwise(response.frequency_hz)):
        yield f"{label}: their frequencies must rise."
    for values, (low, high), what in (
        (response.frequency_hz, FREQUENCY, "frequencies"),
        (response.level_db, (-200.0, 60.0), "levels"),
        (response.phase_deg, (-1e6, 1e6), "phases"),
    ):
        if not all(low <= value <= high for value in values):
            yield f"{label}: their {what} must lie between {number(low)} and {number(high)}."


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
