"""The room's answers: decay, critical distance, direct sound and speech over the areas."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.coverage import AreaGrid, rows
from calc.acoustics.field.source import PointSource
from calc.acoustics.room import decay
from calc.acoustics.room.field import RoomField, power_and_q, room_field
from calc.acoustics.room.speech import MALE_SPECTRUM_DB, rating, transmission_index
from calc.acoustics.weighting import a_weighting_db
from calc.prediction import RoomResult, SpeechResult
from calc.system import Room, SystemDescription
from calc.words import joined, number

SPEECH_DBA = 80.0
"""dB(A). Level of amplified speech where nobody said one. Common practice, no source."""

MIDS = slice(2, 6)
"""500 Hz to 4 kHz among the octaves."""

ESTIMATE = (
    "Decay, critical distance and speech are estimates for a room whose sound is evenly mixed. "
    "They are no proof for a system that warns or evacuates people."
)

Floats = NDArray[np.float64]


def room_result(
    system: SystemDescription, sources: Sequence[PointSource], grids: Sequence[AreaGrid]
) -> RoomResult | None:
    """All of it; None when no room is described."""
    room = system.room
    if room is None:
        return None
    sabine, eyring = _estimates(room, system)
    measured = decay.measured_s(room)
    used = used_decay_s(room, system)
    volume = room.volume_m3.value
    q = power_and_q(sources)[1] if sources else np.full(len(used), np.nan)
    speech = _speech(system, room, sources, grids, used)
    level = None if system.show is None else system.show.speech_dba.value
    basis = np.where(np.isfinite(measured), "measured", np.where(np.isfinite(eyring), "Eyring", ""))
    mid = used[2:4].mean()
    return RoomResult(
        octaves_hz=tuple(bands.octave_bands_hz().tolist()),
        sabine_s=decay.optional(sabine),
        eyring_s=decay.optional(eyring),
        decay_s=decay.optional(used),
        decay_basis=tuple(basis.tolist()),
        directivity_q=decay.optional(q),
        critical_distance_m=decay.optional(
            q * np.nan if volume is None else decay.critical_distance_m(q, volume, used)
        ),
        schroeder_hz=(
            decay.schroeder_hz(volume, float(mid)) if volume and math.isfinite(mid) else None
        ),
        speech=speech,
        speech_dba=SPEECH_DBA if level is None else level,
        speech_assumed=level is None,
        noise_known=_noise(room) is not None,
        sentences=(ESTIMATE,),
        unknown=tuple(_unknown(room, used, level)),
    )


def used_decay_s(room: Room, system: SystemDescription) -> Floats:
    """Decay per octave (7,) that is counted with: measured, else Eyring's, NaN where unknown."""
    measured = decay.measured_s(room)
    return np.where(np.isfinite(measured), measured, _estimates(room, system)[1])


def _estimates(room: Room, system: SystemDescription) -> tuple[Floats, Floats]:
    """Sabine's and Eyring's decay per octave, NaN where unknown."""
    volume, surfaces = room.volume_m3.value, decay.surfaces_of(room)
    if volume is None or surfaces is None:
        nothing = np.full(len(bands.OCTAVES), np.nan)
        return nothing, nothing
    surface, mean = surfaces
    speed = speed_of_sound(system.surroundings.temperature_c)
    air = decay.air_area_m2(volume, system.surroundings)
    return (
        decay.sabine_s(volume, surface * mean + air, speed),
        decay.eyring_s(volume, surface, mean, air, speed),
    )


def _noise(room: Room) -> Floats | None:
    """Noise per octave where all seven are known."""
    known = [level for level in room.noise_db if level is not None]
    return np.array(known) if len(known) == len(bands.OCTAVES) else None


def _speech(
    system: SystemDescription,
    room: Room,
    sources: Sequence[PointSource],
    grids: Sequence[AreaGrid],
    used: Floats,
) -> tuple[SpeechResult, ...]:
    """Speech over the audience areas; nothing where a figure for it is missing."""
    volume = room.volume_m3.value
    grids = [grid for grid in grids if grid.area.kind == "audience" and len(grid.points)]
    if volume is None or not sources or not grids or not np.isfinite(used).any():
        return ()
    known = np.where(np.isfinite(used), used, 0.0)
    fields = [room_field(sources, g.points, system.surroundings, volume, known) for g in grids]
    complete = bool(np.isfinite(used).all())
    level = None if system.show is None else system.show.speech_dba.value
    turned = _turned_to(fields, SPEECH_DBA if level is None else level)
    found = []
    for grid, field in zip(grids, fields, strict=True):
        index = None
        if complete and turned is not None:
            spoken = 10 * np.log10(np.maximum(field.direct + field.reverberant, 1e-12)) + turned
            index = transmission_index(field.modulation(used), spoken, _noise(room))
        found.append(_speech_result(grid, field, np.isfinite(used), index))
    return tuple(found)


def _turned_to(fields: Sequence[RoomField], wanted_dba: float) -> Floats | None:
    """Per octave dB from pink noise at full drive to male speech of the wished mean level.

    None where nothing plays in the octaves.
    """
    heard = np.concatenate([field.direct + field.reverberant for field in fields]).mean(axis=0)
    shape = MALE_SPECTRUM_DB - MALE_SPECTRUM_DB.max()
    weights = 10 ** ((shape + a_weighting_db(bands.octave_bands_hz())) / 10)
    total = float(heard @ weights)
    if total <= 0:
        return None
    turned: Floats = shape + wanted_dba - 10 * math.log10(total)
    return turned


def _speech_result(
    grid: AreaGrid, field: RoomField, known: NDArray[np.bool_], index: Floats | None
) -> SpeechResult:
    direct, late = field.direct[:, MIDS].sum(axis=1), field.reverberant[MIDS].sum()
    ratio: Floats | None = None
    if known[MIDS].all() and late > 0:
        ratio = 10 * np.log10(np.maximum(direct / late, 1e-12))
    mean = None if index is None else float(index.mean())
    return SpeechResult(
        area=grid.area.name,
        direct_db=() if ratio is None else rows(grid.grid, ratio),
        mean_direct_db=None if ratio is None else float(ratio.mean()),
        index=() if index is None else rows(grid.grid, index),
        mean_index=mean,
        least_index=None if index is None else float(index.min()),
        rating="" if mean is None else rating(mean),
    )


def _unknown(room: Room, used: Floats, speech: float | None) -> list[str]:
    said = []
    if not room.volume_m3.known:
        said.append("The room's volume is unknown: no reverberant level and no speech index.")
    lacking = [
        str(hz) for hz, time in zip(bands.NOMINAL_OCTAVES, used, strict=True) if math.isnan(time)
    ]
    if lacking:
        said.append(
            f"The decay at {joined(lacking)} Hz is neither measured nor can it be estimated: "
            "no speech index. Clap, burst a balloon or enter the surfaces."
        )
    if _noise(room) is None:
        said.append("The room's noise is unknown: the speech index is the best that could be.")
    if speech is None:
        said.append(f"Nobody said how loud speech is: {number(SPEECH_DBA)} dB(A) is assumed.")
    return said
