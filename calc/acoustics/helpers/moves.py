"""What may be moved, by how much, and what that makes of the sources."""

import dataclasses
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from calc.acoustics.field.source import PointSource, axes_of
from calc.acoustics.sources import Drawn
from calc.lookup import Lookup
from calc.system import DriveLine, ProcessorOutput, SystemDescription
from calc.words import joined

Quantity = Literal["azimuth_deg", "tilt_deg", "z_m", "level_db", "delay_ms"]
OF_A_BOX: tuple[Quantity, ...] = ("azimuth_deg", "tilt_deg", "z_m")


@dataclass(frozen=True, slots=True)
class Freedom:
    """One thing that may change, within bounds around where it is now.

    `names` are placements for `azimuth_deg`, `tilt_deg` and `z_m`, drive lines for `level_db` and
    `delay_ms`; all of them move together, and so do other lines on their processor outputs. With
    `mirrored` the boxes on the left (x below 0) turn the other way in azimuth. `less` and `more`
    (0 or above) bound the change.
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
    return found + _unfed(system, freedoms) + _pulled_apart(system, freedoms)


def _unfed(system: SystemDescription, freedoms: Sequence[Freedom]) -> list[str]:
    delayed = {
        name for freedom in freedoms if freedom.quantity == "delay_ms" for name in freedom.names
    }
    return [
        f"no processor output feeds '{line.name}': its delay cannot move"
        for line in system.drive_lines
        if line.name in delayed and output_key(line) is None
    ]


def _pulled_apart(system: SystemDescription, freedoms: Sequence[Freedom]) -> list[str]:
    """Two freedoms cannot pull one output's delay or gain in two directions."""
    found = []
    for quantity in ("level_db", "delay_ms"):
        users: Counter[str] = Counter()
        for freedom in freedoms:
            if freedom.quantity == quantity:
                users.update(_all_moved(system, freedom))
        twice = [name for name, count in users.items() if count > 1]
        if twice:
            found.append(
                f"the {quantity} of {joined(twice)} would move by two freedoms, as lines on one "
                "processor output move together: name them in one"
            )
    return found


def output_key(line: DriveLine) -> tuple[str, int] | None:
    """The processor output that feeds a line; None where nobody said."""
    return (line.processor, line.output) if line.processor and line.output is not None else None


def _all_moved(system: SystemDescription, freedom: Freedom) -> list[str]:
    """The names of a freedom, with all lines that hang on the same outputs."""
    if freedom.quantity in OF_A_BOX:
        return list(freedom.names)
    keys = {output_key(line) for line in system.drive_lines if line.name in freedom.names} - {None}
    return [
        line.name
        for line in system.drive_lines
        if line.name in freedom.names or output_key(line) in keys
    ]


def together(system: SystemDescription, freedoms: Sequence[Freedom]) -> tuple[str, ...]:
    """What moves along unasked, in sentences."""
    said = []
    for freedom in freedoms:
        along = [name for name in _all_moved(system, freedom) if name not in freedom.names]
        if along:
            said.append(
                f"{joined(along)} moves along with {joined(freedom.names)}: one processor output "
                "feeds them."
            )
    return tuple(dict.fromkeys(said))


def changes_of(
    system: SystemDescription, freedoms: Sequence[Freedom], steps: Sequence[float]
) -> list[Change]:
    """The changes that steps (one for each freedom) mean; those of no size are left out."""
    boxes = {box.name: box for box in system.placements}
    lines = {line.name: line for line in system.drive_lines}
    outputs = Lookup.of(system).outputs
    found = []
    for freedom, step in zip(freedoms, steps, strict=True):
        for name in _all_moved(system, freedom) if abs(step) > 1e-9 else ():
            sign = -1.0 if freedom.mirrored and name in boxes and boxes[name].x_m < 0 else 1.0
            turned = sign * step if freedom.quantity == "azimuth_deg" else step
            before = 0.0
            if freedom.quantity in OF_A_BOX:
                before = float(getattr(boxes[name], freedom.quantity))
            elif freedom.quantity == "delay_ms":
                key = output_key(lines[name])
                before = outputs[key].delay_ms if key in outputs else 0.0
            found.append(Change(name, freedom.quantity, before, before + turned))
    return found


def with_changes(system: SystemDescription, changes: Sequence[Change]) -> SystemDescription:
    """The description that somebody gets who accepts the changes.

    A line's delay and level are those of its processor output. A level change goes into its gain
    where that is known; an output that nobody described gets described by its delay.
    """
    boxes = {box.name: box for box in system.placements}
    for change in changes:
        if change.quantity in OF_A_BOX:
            moved_box: dict[str, Any] = {change.quantity: change.after}
            boxes[change.name] = dataclasses.replace(boxes[change.name], **moved_box)
    return dataclasses.replace(
        system, placements=tuple(boxes.values()), outputs=_changed_outputs(system, changes)
    )


def _changed_outputs(
    system: SystemDescription, changes: Sequence[Change]
) -> tuple[ProcessorOutput, ...]:
    keys = {line.name: output_key(line) for line in system.drive_lines}
    before = Lookup.of(system).outputs
    after = dict(before)
    for change in changes:
        key = None if change.quantity in OF_A_BOX else keys[change.name]
        if key is None:
            continue
        if change.quantity == "delay_ms":
            now = after.get(key, ProcessorOutput(*key))
            after[key] = dataclasses.replace(now, delay_ms=change.after)
        elif key in before and (gain := before[key].gain_db) is not None:
            after[key] = dataclasses.replace(after[key], gain_db=gain + change.after)
    return tuple(after.values())


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
