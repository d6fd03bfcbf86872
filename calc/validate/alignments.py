"""Listening spots, measured responses and alignments that cannot be."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from calc.system import Alignment, ListeningSpot, MeasuredResponse, SystemDescription
from calc.validate.ranges import FREQUENCY, LEVEL, PLACE, numbers
from calc.words import joined, number

TURNED = (-1e6, 1e6)
ALIGNMENT_RANGES = {"offset_ms": (0.0, 1000.0), "set_temperature_c": (-40.0, 60.0)}
KINDS = ("sub to top", "fill or tower")
SPOTS = ("standing", "seated", "on the floor")


def listening_spot(spot: ListeningSpot) -> Iterator[str]:
    """A position and a kind that can be."""
    label = f"Listening spot '{spot.name}'"
    yield from numbers(spot, {"x_m": PLACE, "y_m": PLACE, "z_m": PLACE}, label)
    if spot.kind not in SPOTS:
        yield f"{label}: it is {joined(SPOTS[:-1])} or {SPOTS[-1]}, not '{spot.kind}'."


def alignment(part: Alignment) -> Iterator[str]:
    """Sides, offset and temperature that can be."""
    label = f"Alignment '{part.name}'"
    yield from numbers(part, ALIGNMENT_RANGES, label)
    if part.kind not in KINDS:
        yield f"{label}: it is '{KINDS[0]}' or '{KINDS[1]}', not '{part.kind}'."
    if not part.moved or not part.reference:
        yield f"{label}: name a drive line on either side."
    for side in (part.moved, part.reference):
        if len(set(side)) < len(side):
            yield f"{label}: a drive line is named twice."
    both = [name for name in part.moved if name in part.reference]
    if both:
        yield f"{label}: {joined(both)} cannot be delayed against itself. Take it off one side."


def measured_response(part: MeasuredResponse) -> Iterator[str]:
    """Points that can be."""
    label = f"Measured response of '{part.line}' at '{part.spot}'"
    yield from numbers(part, {"removed_ms": (-10_000.0, 10_000.0)}, label)
    count = len(part.frequency_hz)
    if count < 2 or len(part.level_db) != count or len(part.phase_deg) != count:
        yield f"{label}: needs two points or more, with a level and a phase for each frequency."
        return
    for values, (low, high), what in (
        (part.frequency_hz, FREQUENCY, "frequencies"),
        (part.level_db, LEVEL, "levels"),
        (part.phase_deg, TURNED, "phases"),
    ):
        held = np.array(values, dtype=np.float64)
        if not bool(((held >= low) & (held <= high)).all()):
            yield f"{label}: its {what} must lie between {number(low)} and {number(high)}."
    if any(b <= a for a, b in pairwise(part.frequency_hz)):
        yield f"{label}: its frequencies must rise."


def alignment_references(system: SystemDescription) -> Iterator[str]:
    """Names that lead nowhere, and what was measured twice."""
    lines = {line.name for line in system.drive_lines}
    spots = {spot.name for spot in system.spots}
    for part in system.alignments:
        label = f"Alignment '{part.name}'"
        if part.spot not in spots:
            yield f"{label}: there is no listening spot '{part.spot}'."
        for name in dict.fromkeys((*part.moved, *part.reference)):
            if name not in lines:
                yield f"{label}: there is no drive line '{name}'."
    seen = set()
    for response in system.measured:
        label = f"Measured response of '{response.line}' at '{response.spot}'"
        yield from measured_response(response)
        if response.line not in lines:
            yield f"{label}: there is no drive line '{response.line}'."
        if response.spot not in spots:
            yield f"{label}: there is no listening spot '{response.spot}'."
        if (response.line, response.spot) in seen:
            yield f"{label}: it is there twice."
        seen.add((response.line, response.spot))
