"""Subs as an array: what `calc` makes of a choice of boxes, and what their outputs would get."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import cast

from calc.signals.arrays import KINDS, ArrayKind, ArrayPlan, array_plan
from calc.signals.arrays.plan import BANDS_HZ
from calc.system import DriveLine, Placement, SystemDescription
from calc.words import joined
from rigs.systems.describe.dialling.delays import LEAST_MS, Key, OutputChange, Taking

__all__ = ["BANDS_HZ", "KINDS", "ArrayPlan", "Asked", "planned", "sub_names", "to_take"]


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody wants to know of which boxes, by their names."""

    boxes: tuple[str, ...]
    kind: str
    design_hz: float
    aim_deg: float
    opening_deg: float
    bands_hz: tuple[float, ...]


def sub_names(system: SystemDescription) -> list[str]:
    """The boxes whose sheet calls them subs, by name."""
    subs = {sheet.name for sheet in system.loudspeakers if sheet.role == "sub"}
    return sorted(box.name for box in system.placements if box.sheet in subs)


def planned(system: SystemDescription, asked: Asked) -> ArrayPlan:
    """The plan.

    Raises
    ------
    ValueError
        In words: why there is none.
    """
    boxes = [box for box in system.placements if box.name in set(asked.boxes)]
    return array_plan(
        boxes,
        cast(ArrayKind, asked.kind),
        asked.design_hz,
        asked.aim_deg,
        asked.opening_deg,
        system.surroundings.temperature_c,
        stage_m=stage_of(system),
        bands_hz=asked.bands_hz or BANDS_HZ,
    )


def stage_of(system: SystemDescription) -> tuple[float, float, float] | None:
    """The middle of the stage at ear height; None where no stage is entered."""
    for area in system.areas:
        if area.kind == "stage":
            count = len(area.corners)
            x, y = (sum(corner[axis] for corner in area.corners) / count for axis in (0, 1))
            return x, y, area.floor_z_m + area.ear_height_m
    return None


def to_take(system: SystemDescription, plan: ArrayPlan) -> Taking:
    """Delay and polarity for each output, or which boxes stand in the way by sharing one."""
    wanted = {each.placement: (each.delay_ms, each.inverted) for each in plan.elements}
    boxes = [box for box in system.placements if box.name in wanted]
    lines = [
        line for line in system.drive_lines if any(link.placement in wanted for link in line.links)
    ]
    obstacles = [*_unfed(boxes, lines), *_shared(lines, system.drive_lines, wanted)]
    if obstacles:
        return Taking(obstacles=tuple(obstacles))
    stored = {(output.processor, output.output): output for output in system.outputs}
    keys = {_key(line): wanted[_played(line)[0]] for line in lines}
    common = min(stored[key].delay_ms if key in stored else 0.0 for key in keys)
    changes = []
    for key, (delay_ms, inverted) in sorted(keys.items()):
        was = stored.get(key)
        was_ms, was_inverted = (was.delay_ms, was.inverted) if was else (0.0, False)
        now = round(common + delay_ms, 4)
        if abs(now - was_ms) >= LEAST_MS or inverted != was_inverted:
            turned = inverted != was_inverted
            changes.append(OutputChange(*key, was_ms, now, inverted, turned))
    return Taking(tuple(changes))


def _key(line: DriveLine) -> Key:
    return line.processor, line.output or 0


def _played(line: DriveLine) -> list[str]:
    return [link.placement for link in line.links]


def _unfed(boxes: Iterable[Placement], lines: Sequence[DriveLine]) -> Iterator[str]:
    fed = {name for line in lines for name in _played(line)}
    for box in boxes:
        if box.name not in fed:
            yield f"{box.name} is on no drive line: nothing could delay it."
    for line in lines:
        if not line.processor or line.output is None:
            yield f"Nobody said which processor output feeds {line.name}."


def _shared(
    lines: Sequence[DriveLine],
    every: Iterable[DriveLine],
    wanted: dict[str, tuple[float, bool]],
) -> Iterator[str]:
    """Outputs that play boxes which need different settings, or boxes that were not chosen."""
    keys = sorted({_key(line) for line in lines if line.processor and line.output is not None})
    on_key: dict[Key, list[str]] = {key: [] for key in keys}
    for line in every:
        if _key(line) in on_key:
            on_key[_key(line)] += _played(line)
    for (processor, output), names in on_key.items():
        chosen = sorted({name for name in names if name in wanted})
        others = sorted({name for name in names if name not in wanted})
        settings = {(round(wanted[name][0], 3), wanted[name][1]) for name in chosen}
        if len(settings) > 1:
            yield (
                f"{joined(chosen)} share {processor}, output {output}, but need different "
                "settings. Give each an amplifier channel and an output of its own."
            )
        if others and settings != {(0.0, False)}:
            yield f"{processor}, output {output} also plays {joined(others)}, not chosen here."
