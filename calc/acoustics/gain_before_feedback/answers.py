"""The figures of every microphone of a rig."""

import math
from collections.abc import Sequence

from calc.acoustics.gain_before_feedback.changes import Deciding, Idea, box_energy, ideas
from calc.acoustics.gain_before_feedback.loop import (
    Loop,
    Rig,
    Setting,
    angles_cosine,
    farthest,
    holding_source_m,
    loop_of,
    positions,
)
from calc.acoustics.gain_before_feedback.paths import OCTAVES_HZ, pressures
from calc.acoustics.gain_before_feedback.rig import critical_m, rig_of
from calc.acoustics.gain_before_feedback.textbook import needed_gain_db, potential_gain_db
from calc.acoustics.geometry import NEAREST_M
from calc.acoustics.sources import Field
from calc.lookup import Lookup
from calc.prediction import GainChange, LineResult, MicrophoneResult, ReachingBox
from calc.system import StageMicrophone, SystemDescription

LEAST_WORTH_DB = 0.1
MOST_BOXES = 5
SOURCE_RANGE_M = (0.01, 20.0)

UNPLAYED = "No box that plays it plays from 250 Hz to 4 kHz. Give it a drive line."
NO_SOURCE = "How far its source is from it is unknown. Enter the distance."


def microphone_results(
    system: SystemDescription, lookup: Lookup, lines: tuple[LineResult, ...], field: Field
) -> tuple[MicrophoneResult, ...]:
    """Gain before feedback of every microphone, or what is unknown about it."""
    if not system.microphones:
        return ()
    rig = rig_of(system, lookup, lines, field)
    settings = {
        one.name: Setting(one, _open_with(one, system), silent=frozenset(one.not_played_by))
        for one in system.microphones
    }
    answered: dict[str, MicrophoneResult] = {}
    if isinstance(rig, Rig):
        known = [one for one in settings.values() if one.microphone.source_m.known]
        answered = {one.name: one for one in _answers(system, rig, known)}
    reason = rig if isinstance(rig, str) else ""
    return tuple(
        answered.get(one.name) or _unknown(settings[one.name], reason or NO_SOURCE)
        for one in system.microphones
    )


def _open_with(microphone: StageMicrophone, system: SystemDescription) -> int:
    """How many are open when this one is."""
    others = sum(one.is_open for one in system.microphones if one.name != microphone.name)
    return others + 1


def _unknown(setting: Setting, reason: str) -> MicrophoneResult:
    if setting.microphone.source_m.value is None and reason != NO_SOURCE:
        reason = f"{reason} {NO_SOURCE}"
    return MicrophoneResult(
        name=setting.microphone.name,
        open_microphones=setting.open_microphones,
        source_m=setting.microphone.source_m.value,
        unknown=reason,
    )


def _answers(
    system: SystemDescription, rig: Rig, settings: Sequence[Setting]
) -> list[MicrophoneResult]:
    """Two rounds: all microphones as they stand, then all changes of all of them."""
    loops = _loops(system, rig, settings)
    wanted = [ideas(loop, rig) if loop.plays else [] for loop in loops]
    tried = iter(_loops(system, rig, [idea.setting for some in wanted for idea in some]))
    return [
        _result(system, rig, loop, [(idea, next(tried)) for idea in some])
        if loop.plays
        else _unknown(loop.setting, UNPLAYED)
        for loop, some in zip(loops, wanted, strict=True)
    ]


def _loops(system: SystemDescription, rig: Rig, settings: Sequence[Setting]) -> list[Loop]:
    points = [point for setting in settings for point in setting.points(rig)]
    reach = pressures(rig.drawn, points, system.surroundings)
    return [loop_of(setting, rig, reach) for setting in settings]


def _result(
    system: SystemDescription, rig: Rig, loop: Loop, tried: Sequence[tuple[Idea, Loop]]
) -> MicrophoneResult:
    setting, worst = loop.setting, loop.worst
    deciding = Deciding.of(loop, rig)
    needed = float(loop.needed_db[worst] - loop.unaided_db[worst])
    there = farthest(setting.at_m, rig.areas)
    holds, (low, high) = holding_source_m(loop, rig), SOURCE_RANGE_M
    late, direct = float(loop.late[:, worst].sum()), float(loop.direct[:, worst].sum())
    critical = critical_m(system, rig)
    potential, textbook_needed = _textbook(setting, rig, deciding, critical)
    return MicrophoneResult(
        name=setting.microphone.name,
        open_microphones=setting.open_microphones,
        source_m=setting.microphone.source_m.value,
        potential_db=loop.least_db + needed,
        needed_db=needed,
        left_db=loop.least_db,
        octave_hz=float(OCTAVES_HZ[worst]),
        octaves_left_db=tuple(
            float(left) if math.isfinite(left) else None for left in loop.left_db
        ),
        box=deciding.placement,
        boxes=_boxes(loop, rig),
        late_share=late / (late + direct) if late + direct > 0 else 0.0,
        farthest_m=math.dist(setting.at_m, there),
        farthest_at_m=there,
        holds_at_m=holds if low <= holds <= high else None,
        textbook_potential_db=potential,
        textbook_needed_db=textbook_needed,
        equivalent_m=setting.microphone.equivalent_m or rig.equivalent_m,
        critical_m=critical if math.isfinite(critical) else None,
        changes=_changes(loop, tried),
        too_near=_too_near(setting, rig),
    )


def _changes(loop: Loop, tried: Sequence[tuple[Idea, Loop]]) -> tuple[GainChange, ...]:
    """Those that help, the best first."""
    gains = [
        GainChange(idea.words, changed.least_db - loop.least_db)
        for idea, changed in tried
        if changed.plays
    ]
    helping = [change for change in gains if change.gain_db >= LEAST_WORTH_DB]
    return tuple(sorted(helping, key=lambda change: -change.gain_db))


def _boxes(loop: Loop, rig: Rig) -> tuple[ReachingBox, ...]:
    """The loudest boxes in the microphone."""
    energy, setting = box_energy(loop, rig), loop.setting
    total = max(sum(energy.values()), 1e-12)
    where = positions(setting, rig)
    cosine = angles_cosine(setting.microphone, where)
    first = {item.placement: n for n, item in reversed(list(enumerate(rig.drawn)))}
    loudest = sorted(energy, key=lambda name: -energy[name])[:MOST_BOXES]
    return tuple(
        ReachingBox(
            placement=name,
            distance_m=math.dist(setting.at_m, where[first[name]]),
            off_front_deg=math.degrees(math.acos(min(1.0, max(-1.0, cosine[first[name]])))),
            level_db=10 * math.log10(max(energy[name] / total, 1e-12)),
        )
        for name in loudest
    )


def _too_near(setting: Setting, rig: Rig) -> tuple[str, ...]:
    """Boxes so near that the level at the microphone is not raised any more."""
    where = positions(setting, rig).tolist()
    near = [
        item.placement
        for item, at in zip(rig.drawn, where, strict=True)
        if math.dist(at, setting.at_m) < NEAREST_M
    ]
    return tuple(dict.fromkeys(near))


def _textbook(
    setting: Setting, rig: Rig, deciding: Deciding, critical: float
) -> tuple[float, float]:
    """Potential and needed gain from distances alone, with the deciding box as the only one."""
    n = next(n for n, item in enumerate(rig.drawn) if item.placement == deciding.placement)
    box = positions(setting, rig)[n].tolist()
    there = farthest(setting.at_m, rig.areas)
    source = setting.microphone.source_m.value
    assert source is not None
    away = max(math.dist(setting.at_m, there), NEAREST_M)
    potential = potential_gain_db(
        source_m=source,
        farthest_m=away,
        box_to_microphone_m=max(math.dist(setting.at_m, box), NEAREST_M),
        box_to_farthest_m=max(math.dist(box, there), NEAREST_M),
        open_microphones=setting.open_microphones,
        critical_m=critical,
    )
    equivalent = setting.microphone.equivalent_m or rig.equivalent_m
    return potential, needed_gain_db(away, equivalent, critical)
