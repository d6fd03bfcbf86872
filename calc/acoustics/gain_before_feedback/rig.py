"""What all microphones of a rig have in common, or why nothing can be said."""

import math

import numpy as np

from calc.acoustics import bands
from calc.acoustics.answers import scaled
from calc.acoustics.directivity.index import table_index_db
from calc.acoustics.gain_before_feedback.loop import Rig
from calc.acoustics.gain_before_feedback.paths import (
    OCTAVES_HZ,
    Floats,
    Grouping,
    plays_voice,
)
from calc.acoustics.levels import balance_of
from calc.acoustics.room.answers import used_decay_s
from calc.acoustics.room.decay import CRITICAL
from calc.acoustics.sources import Drawn, Field
from calc.constants import TALKER_Q
from calc.lookup import Lookup
from calc.prediction import LineResult
from calc.system import SystemDescription
from calc.words import joined

VOICE = slice(1, 6)
"""250 Hz to 4 kHz among the octaves 125 Hz to 8 kHz."""


def rig_of(
    system: SystemDescription, lookup: Lookup, lines: tuple[LineResult, ...], field: Field
) -> Rig | str:
    """The rig as microphones meet it; a sentence where something for it is unknown."""
    areas = tuple(area for area in system.areas if area.kind == "audience")
    if not areas:
        return "No audience area says who shall hear it. Draw one in the space."
    if field.missing_in_voice:
        return (
            f"What {joined(field.missing_in_voice)} radiates towards it is unknown. "
            "Complete the data sheet or the line."
        )
    drawn = [item for item in field.drawn if plays_voice(item)]
    if not drawn:
        return "No box that is driven plays from 250 Hz to 4 kHz. Enter the drive lines."
    balanced = _balanced(system, lookup, lines, drawn)
    if balanced is None:
        return "How loud the lines are against each other is unknown. Enter the outputs' gains."
    late = _late(system, balanced)
    if late is None:
        return (
            "The room's reverberation is unknown. Enter its volume and its decay, or its "
            "surfaces, from 250 Hz to 4 kHz."
        )
    return Rig(
        drawn=balanced,
        grouping=Grouping.of(balanced, system.choices.coherent_below_hz),
        late=late[0],
        voice_late=late[1],
        areas=areas,
        equivalent_m=system.choices.equivalent_distance_m,
        monitors=frozenset(
            box.name
            for box in system.placements
            if lookup.loudspeakers[box.sheet].role == "monitor"
        ),
    )


def critical_m(system: SystemDescription, rig: Rig) -> float:
    """Critical distance of the rig's boxes in the octave of 1 kHz; infinite outdoors."""
    middle = OCTAVES_HZ.index(1000)
    late = float(rig.late[:, middle].sum())
    if late == 0:
        return math.inf
    axis = sum(float(_octaves(_energy(item))[middle]) for item in rig.drawn)
    return math.sqrt(axis / late)


def _balanced(
    system: SystemDescription,
    lookup: Lookup,
    lines: tuple[LineResult, ...],
    drawn: list[Drawn],
) -> tuple[Drawn, ...] | None:
    """The ways in their balance; None where it is unknown and more than one line sounds."""
    if len({item.line for item in drawn}) == 1:
        return tuple(drawn)
    scale = balance_of(system, lookup, lines, drawn).balanced()
    if scale is None:
        return None
    return tuple(Drawn(item.placement, item.way, item.line, scaled(item, scale)) for item in drawn)


def _late(system: SystemDescription, drawn: tuple[Drawn, ...]) -> tuple[Floats, Floats] | None:
    """Reverberant energy of each way (ways, 5) and of a talker (5,); 0 outdoors."""
    nothing = np.zeros(len(OCTAVES_HZ))
    if system.room is None:
        return np.zeros((len(drawn), len(OCTAVES_HZ))), nothing
    volume, decay = system.room.volume_m3.value, used_decay_s(system.room, system)[VOICE]
    if volume is None or not np.isfinite(decay).all():
        return None
    indices = {id(item.source.table): item.source.table for item in drawn}
    q = {key: 10 ** (table_index_db(table) / 10) for key, table in indices.items()}
    around = [_octaves(_energy(item) / q[id(item.source.table)]) for item in drawn]
    stays = decay / (CRITICAL**2 * volume)
    return np.array(around) * stays, stays / TALKER_Q


def _energy(item: Drawn) -> Floats:
    """Energy on the axis at 1 m in the thirds, (30,)."""
    energy: Floats = (np.abs(item.source.gain) ** 2).reshape(-1, bands.LINES_PER_BAND).sum(axis=1)
    return energy


def _octaves(energy: Floats) -> Floats:
    return bands.by_octave(energy)[VOICE]
