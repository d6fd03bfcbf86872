"""The loop from a microphone through the rig and back, and what is left before it rings."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from calc.acoustics.field.source import axes_of
from calc.acoustics.gain_before_feedback.paths import (
    Complex,
    Floats,
    Grouping,
    Point,
    per_octave,
)
from calc.acoustics.gain_before_feedback.patterns import from_all_round, heard
from calc.acoustics.gain_before_feedback.textbook import shared_db
from calc.acoustics.geometry import NEAREST_M, ear_height
from calc.acoustics.sources import Drawn
from calc.constants import FEEDBACK_MARGIN_DB
from calc.system import AudienceArea, StageMicrophone

TINY = 1e-12


@dataclass(frozen=True, slots=True)
class Rig:
    """What all microphones of a rig have in common.

    `drawn` are the ways that play a voice, in their balance. `late` (ways, 5) is what each gives
    to the reverberation, everywhere alike; `voice_late` (5,) what a talker does whose sound is 1
    at 1 m. Both are 0 outdoors. `areas` are those of the audience, `monitors` the
    placements whose boxes play for those on stage.
    """

    drawn: tuple[Drawn, ...]
    grouping: Grouping
    late: Floats
    voice_late: Floats
    areas: tuple[AudienceArea, ...]
    equivalent_m: float
    monitors: frozenset[str]


@dataclass(frozen=True, slots=True)
class Setting:
    """One way to set a microphone: as it stands, or with something changed.

    `shift_m` moves the boxes of the drive lines `moved`; `silent` lines do not play it.
    """

    microphone: StageMicrophone
    open_microphones: int
    moved: frozenset[str] = frozenset()
    shift_m: Point = (0.0, 0.0, 0.0)
    silent: frozenset[str] = frozenset()

    @property
    def at_m(self) -> Point:
        """Where the microphone stands."""
        return self.microphone.x_m, self.microphone.y_m, self.microphone.z_m

    def points(self, rig: Rig) -> list[Point]:
        """Where pressures are needed: a box that moves sees its listener move the other way."""
        here, there = self.at_m, farthest(self.at_m, rig.areas)
        back = [_less(here, self.shift_m), _less(there, self.shift_m)] if self.moved else []
        return [here, there, *back]


@dataclass(frozen=True, slots=True)
class Loop:
    """What comes of a setting.

    `left_db` (5,) is per octave how much gain is left of what is needed with the margin kept,
    NaN where nothing plays. `direct` and `late` (ways, 5) are each way's energy in the
    microphone, and `unaided_db`/`needed_db` (5,) the source at the farthest listener without the
    rig and as wished for, re the source at 1 m.
    """

    setting: Setting
    left_db: Floats
    direct: Floats
    late: Floats
    unaided_db: Floats
    needed_db: Floats
    source_db: Floats

    @property
    def worst(self) -> int:
        """The octave that rings first."""
        return int(np.nanargmin(self.left_db))

    @property
    def least_db(self) -> float:
        """What is left in that octave."""
        return float(self.left_db[self.worst])

    @property
    def plays(self) -> bool:
        """Whether anything plays at all."""
        return bool(np.isfinite(self.left_db).any())


def loop_of(setting: Setting, rig: Rig, reach: Mapping[Point, Complex]) -> Loop:
    """Follow the loop of one setting; its source's distance is known.

    At the onset the rig gives the microphone as much as the source does. So the farthest
    listener can get the source's level in the microphone, plus the rig's level at the listener,
    less its level in the microphone, less the open microphones' share and the margin.
    """
    here, there = setting.at_m, farthest(setting.at_m, rig.areas)
    plays = np.array([item.line not in setting.silent for item in rig.drawn], dtype=np.float32)
    weight = _weights(setting, rig) * plays
    at_microphone = _reaching(setting, rig, reach, here) * weight[:, None]
    at_listener = _reaching(setting, rig, reach, there) * plays[:, None]
    late = rig.late * plays[:, None]
    late_in = late * from_all_round(setting.microphone.pattern)
    loud = rig.grouping.energy(at_listener) + late.sum(axis=0)
    back = rig.grouping.energy(at_microphone) + late_in.sum(axis=0)
    source = source_energy(setting.microphone.source_m.value or math.nan, rig)
    needed = 1 / (setting.microphone.equivalent_m or rig.equivalent_m) ** 2 + rig.voice_late
    lost = shared_db(setting.open_microphones) + FEEDBACK_MARGIN_DB
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.maximum(loud, TINY) / np.maximum(back, TINY)
        left = 10 * np.log10(source * ratio / needed) - lost
    distance = max(math.dist(here, there), NEAREST_M)
    return Loop(
        setting=setting,
        left_db=np.where((loud > TINY) | (back > TINY), left, np.nan),
        direct=per_octave(np.abs(at_microphone.astype(np.complex128)) ** 2),
        late=late_in,
        unaided_db=10 * np.log10(1 / distance**2 + rig.voice_late),
        needed_db=10 * np.log10(needed),
        source_db=10 * np.log10(source),
    )


def source_energy(source_m: float, rig: Rig) -> Floats:
    """Energy of the source at a distance, re its direct sound at 1 m, (5,)."""
    energy: Floats = 1 / source_m**2 + rig.voice_late
    return energy


def holding_source_m(loop: Loop, rig: Rig) -> float:
    """How near the source must come for just nothing to be missing; infinite: any distance."""
    short = loop.left_db[np.isfinite(loop.left_db)]
    asked = 10 ** ((loop.source_db[np.isfinite(loop.left_db)] - short) / 10)
    direct = asked - rig.voice_late[np.isfinite(loop.left_db)]
    if (direct <= 0).all():
        return math.inf
    return float(1 / math.sqrt(direct.max()))


def farthest(at_m: Point, areas: tuple[AudienceArea, ...]) -> Point:
    """The ears of the audience that are farthest from a point: a corner of an area."""
    ears = []
    for area in areas:
        x, y = np.array(area.corners).T
        ears += list(zip(x.tolist(), y.tolist(), ear_height(area, x, y).tolist(), strict=True))
    return max(ears, key=lambda ear: math.dist(ear, at_m))


def angles_cosine(microphone: StageMicrophone, sources: Floats) -> Floats:
    """Cosine of the angle between a microphone's front and each source (n, 3)."""
    front = axes_of(microphone.azimuth_deg, microphone.tilt_deg)[0]
    offset = sources - np.array([microphone.x_m, microphone.y_m, microphone.z_m])
    distance = np.sqrt((offset**2).sum(axis=1))
    cosine: Floats = (offset @ front) / np.maximum(distance, 1e-9)
    return cosine


def positions(setting: Setting, rig: Rig) -> Floats:
    """Where the ways stand in a setting, (ways, 3)."""
    return np.array(
        [
            np.array(item.source.position_m)
            + (np.array(setting.shift_m) if item.line in setting.moved else 0.0)
            for item in rig.drawn
        ]
    )


def moved_by(microphone: StageMicrophone, shift_m: Point) -> StageMicrophone:
    """The same microphone elsewhere."""
    return replace(
        microphone,
        x_m=microphone.x_m + shift_m[0],
        y_m=microphone.y_m + shift_m[1],
        z_m=microphone.z_m + shift_m[2],
    )


def _weights(setting: Setting, rig: Rig) -> Floats:
    cosine = angles_cosine(setting.microphone, positions(setting, rig))
    return heard(setting.microphone.pattern, cosine)


def _reaching(setting: Setting, rig: Rig, reach: Mapping[Point, Complex], point: Point) -> Complex:
    """Pressures of all ways at a point, (ways, lines)."""
    as_it_stands = reach[point]
    if not setting.moved:
        return as_it_stands
    moves = np.array([item.line in setting.moved for item in rig.drawn])
    return np.where(moves[:, None], reach[_less(point, setting.shift_m)], as_it_stands)


def _less(point: Point, shift: Point) -> Point:
    return point[0] - shift[0], point[1] - shift[1], point[2] - shift[2]
