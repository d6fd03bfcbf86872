"""What may be moved, by how much, and what that makes of the sources."""

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from calc.acoustics.field.source import PointSource, axes_of
from calc.acoustics.sources import Drawn
from calc.system import DriveLine, Placement, SystemDescription

Quantity = Literal["azimuth_deg", "tilt_deg", "z_m", "level_db", "delay_ms"]
OF_A_BOX: tuple[Quantity, ...] = ("azimuth_deg", "tilt_deg", "z_m")


@dataclass(frozen=True, slots=True)
class Freedom:
    """One thing that may change, within bounds around where it is now.

    `names` are placements for `azimuth_deg`, `tilt_deg` and `z_m`, drive lines for `level_db` and
    `delay_ms`; all of them move together. With `mirrored` the boxes on the left (x below 0) turn
    the other way in azimuth. `less` and `more` (0 or above) bound the change.
    """

    names: tuple[str, ...]
    quantity: Quantity
    less: float
    more: float
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """One proposed change; a level's `before` is 0: it is re how the line is set now."""

    name: str
    quantity: Quantity
    before: float
    after: float


def faults(system: SystemDescription, freedoms: Sequence[Freedom]) -> list[str]:
    """What makes freedoms impossible, in words."""
    boxes = {box.name for box in system.placements}
    lines = {line.name for line in system.drive_lines}
    found = []
    for freedom in freedoms:
        known = boxes if freedom.quantity in OF_A_BOX else lines
        for name in freedom.names:
            if name not in known:
                found.append(f"there is nothing called '{name}' whose {freedom.quantity} can move")
        if not freedom.names:
            found.append(f"nothing is named whose {freedom.quantity} may move")
        if not (0 <= freedom.less <= 1000 and 0 <= freedom.more <= 1000):
            found.append(f"the bounds of {freedom.quantity} must lie between 0 and 1000")
    return found


def changes_of(
    system: SystemDescription, freedoms: Sequence[Freedom], steps: Sequence[float]
) -> list[Change]:
    """The changes that steps (one for each freedom) mean; those of no size are left out."""
    boxes = {box.name: box for box in system.placements}
    lines = {line.name: line for line in system.drive_lines}
    found = []
    for freedom, step in zip(freedoms, steps, strict=True):
        for name in freedom.names if abs(step) > 1e-9 else ():
            sign = -1.0 if freedom.mirrored and name in boxes and boxes[name].x_m < 0 else 1.0
            turned = sign * step if freedom.quantity == "azimuth_deg" else step
            before = _now(boxes.get(name), lines.get(name), freedom.quantity)
            found.append(Change(name, freedom.quantity, before, before + turned))
    return found


def _now(box: Placement | None, line: DriveLine | None, quantity: Quantity) -> float:
    if quantity in OF_A_BOX:
        return float(getattr(box, quantity))
    return 0.0 if quantity == "level_db" or line is None else line.delay_ms


def with_changes(system: SystemDescription, changes: Sequence[Change]) -> SystemDescription:
    """The description that somebody gets who accepts the changes.

    A level change goes into the line's `processor_gain_db`, where that is known.
    """
    boxes = {box.name: box for box in system.placements}
    lines = {line.name: line for line in system.drive_lines}
    for change in changes:
        if change.quantity in OF_A_BOX:
            box = boxes[change.name]
            moved_box: dict[str, Any] = {change.quantity: change.after}
            boxes[box.name] = dataclasses.replace(box, **moved_box)
            continue
        line = lines[change.name]
        if change.quantity == "delay_ms":
            lines[line.name] = dataclasses.replace(line, delay_ms=change.after)
        elif line.processor_gain_db is not None:
            gain = line.processor_gain_db + change.after
            lines[line.name] = dataclasses.replace(line, processor_gain_db=gain)
    return dataclasses.replace(
        system, placements=tuple(boxes.values()), drive_lines=tuple(lines.values())
    )


def moved(
    drawn: Sequence[Drawn], system: SystemDescription, changes: Sequence[Change]
) -> list[PointSource]:
    """The sources after the changes."""
    boxes = {box.name: box for box in with_changes(system, changes).placements}
    trims = {c.name: c.after for c in changes if c.quantity == "level_db"}
    delays = {c.name: c.after for c in changes if c.quantity == "delay_ms"}
    touched = {c.name for c in changes if c.quantity in OF_A_BOX}
    found = []
    for item in drawn:
        source = item.source
        if item.placement in touched:
            box = boxes[item.placement]
            source = dataclasses.replace(
                source,
                position_m=(box.x_m, box.y_m, box.z_m),
                axes=axes_of(box.azimuth_deg, box.tilt_deg, box.roll_deg),
            )
        if item.line in trims:
            gain = source.gain * 10 ** (trims[item.line] / 20)
            source = dataclasses.replace(source, gain=gain)
        if item.line in delays:
            source = dataclasses.replace(source, delay_s=delays[item.line] / 1000)
        found.append(source)
    return found
