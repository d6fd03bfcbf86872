"""What could be changed about a microphone: each change as a setting to be worked out anew."""

import math
from dataclasses import dataclass, replace

import numpy as np

from calc.acoustics.field.source import axes_of
from calc.acoustics.gain_before_feedback.loop import Loop, Rig, Setting, moved_by, positions
from calc.acoustics.gain_before_feedback.paths import Point
from calc.acoustics.gain_before_feedback.patterns import null_deg
from calc.figure import Figure
from calc.words import joined, number

NEAREST_SOURCE_M = 0.02
"""m. Nobody gets nearer to a microphone. Common practice, no source."""

STEP_M = 1.0

STEEPEST_DEG = 60.0
"""A microphone that looks down or up more steeply is not turned: its source is there."""


@dataclass(frozen=True, slots=True)
class Idea:
    """A change in words and what it makes of the setting."""

    words: str
    setting: Setting


@dataclass(frozen=True, slots=True)
class Deciding:
    """The box that reaches a microphone most in the octave that rings first, and its lines."""

    placement: str
    lines: frozenset[str]

    @classmethod
    def of(cls, loop: Loop, rig: Rig) -> "Deciding":
        """By its own energy in the microphone, reverberation included."""
        energy = box_energy(loop, rig)
        placement = max(energy, key=lambda name: energy[name])
        lines = frozenset(item.line for item in rig.drawn if item.placement == placement)
        return cls(placement, lines)


def box_energy(loop: Loop, rig: Rig) -> dict[str, float]:
    """Per placement its energy in the microphone in the octave that rings first."""
    found: dict[str, float] = {}
    each = (loop.direct + loop.late)[:, loop.worst]
    for item, energy in zip(rig.drawn, each.tolist(), strict=True):
        found[item.placement] = found.get(item.placement, 0.0) + energy
    return found


def ideas(loop: Loop, rig: Rig) -> list[Idea]:
    """All changes worth working out for a microphone."""
    setting, deciding = loop.setting, Deciding.of(loop, rig)
    return [
        *_nearer_source(setting),
        *_further_apart(setting, rig, deciding),
        *_turned(setting, rig, deciding),
        *_fewer_open(setting),
        *_kept_out(setting, rig, deciding),
    ]


def _nearer_source(setting: Setting) -> list[Idea]:
    now = setting.microphone.source_m.value
    if now is None or now / 2 < NEAREST_SOURCE_M:
        return []
    nearer = replace(setting.microphone, source_m=Figure(now / 2, "assumed"))
    words = f"source at {number(now / 2)} m instead of {number(now)} m"
    return [Idea(words, replace(setting, microphone=nearer))]


def _further_apart(setting: Setting, rig: Rig, deciding: Deciding) -> list[Idea]:
    """The boxes of the deciding lines, or the microphone, 1 m further away on the level."""
    shift = _away(setting, rig, deciding)
    lines = joined(sorted(deciding.lines))
    back = moved_by(setting.microphone, (-shift[0], -shift[1], 0.0))
    return [
        Idea(
            f"the boxes of {lines} {number(STEP_M)} m further away from it",
            replace(setting, moved=deciding.lines, shift_m=shift),
        ),
        Idea(
            f"the microphone and its source {number(STEP_M)} m further away from "
            f"{deciding.placement}",
            replace(setting, microphone=back),
        ),
    ]


def _away(setting: Setting, rig: Rig, deciding: Deciding) -> Point:
    """One step on the level from the microphone towards the middle of the deciding boxes."""
    where = positions(setting, rig)
    lines = [n for n, item in enumerate(rig.drawn) if item.line in deciding.lines]
    box = [n for n, item in enumerate(rig.drawn) if item.placement == deciding.placement]
    here = np.array(setting.at_m)
    for chosen in (lines, box):
        offset = where[chosen].mean(axis=0) - here
        length = math.hypot(offset[0], offset[1])
        if length > 0.1:
            return STEP_M * offset[0] / length, STEP_M * offset[1] / length, 0.0
    return 0.0, STEP_M, 0.0


def _turned(setting: Setting, rig: Rig, deciding: Deciding) -> list[Idea]:
    """Its deaf side towards the deciding box; a cardioid where it hears all round."""
    microphone = setting.microphone
    if abs(microphone.tilt_deg) > STEEPEST_DEG:
        return []
    null = null_deg(microphone.pattern)
    if null is None:
        instead = replace(microphone, pattern="cardioid")
        return [Idea("a cardioid in its place, aimed alike", replace(setting, microphone=instead))]
    azimuth, tilt = _deaf_to(setting, rig, deciding, math.radians(null))
    turned = replace(microphone, azimuth_deg=azimuth, tilt_deg=tilt)
    words = (
        f"turned to azimuth {azimuth:.0f} and tilt {tilt:.0f} degrees, so that its deaf side "
        f"faces {deciding.placement}"
    )
    return [Idea(words, replace(setting, microphone=turned))]


def _deaf_to(setting: Setting, rig: Rig, deciding: Deciding, null: float) -> tuple[float, float]:
    """The aim nearest to the present one at which the deciding box stands in the null, deg."""
    n = next(n for n, item in enumerate(rig.drawn) if item.placement == deciding.placement)
    box = positions(setting, rig)[n] - np.array(setting.at_m)
    box = box / max(float(np.linalg.norm(box)), 1e-9)
    front = axes_of(setting.microphone.azimuth_deg, setting.microphone.tilt_deg)[0]
    across = front - (front @ box) * box
    if np.linalg.norm(across) < 1e-6:
        across = np.array([box[1], -box[0], 0.0]) + 1e-9
    aim = math.cos(null) * box + math.sin(null) * across / np.linalg.norm(across)
    azimuth = round(math.degrees(math.atan2(aim[0], aim[1]))) % 360
    tilt = round(math.degrees(math.asin(min(1.0, max(-1.0, float(aim[2]))))))
    return float(azimuth), float(tilt)


def _fewer_open(setting: Setting) -> list[Idea]:
    if setting.open_microphones < 2:
        return []
    fewer = replace(setting, open_microphones=setting.open_microphones - 1)
    return [Idea("one open microphone less", fewer)]


def _kept_out(setting: Setting, rig: Rig, deciding: Deciding) -> list[Idea]:
    silent = setting.silent | deciding.lines
    if deciding.placement not in rig.monitors or {item.line for item in rig.drawn} <= silent:
        return []
    words = f"kept out of {joined(sorted(deciding.lines))}"
    return [Idea(words, replace(setting, silent=silent))]
