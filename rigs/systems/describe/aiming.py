"""The bounded search for the most even coverage, from and to plain data."""

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from calc.acoustics.helpers.aim import MOST_TRIALS, Evenness, Proposal, aim_and_trim
from calc.acoustics.helpers.moves import Freedom, Quantity, output_key
from calc.serialise import system_from_plain
from calc.system import DriveLine, ProcessorOutput, SystemDescription
from calc.words import level, number

__all__ = ["MOST_TRIALS", "changes_of", "evenness_rows", "freedoms_of", "search"]

Progress = Callable[[int, int], None]
LOWEST_M, HIGHEST_M = -50.0, 200.0
STEEPEST_DEG = 90.0
LABELS: dict[str, tuple[str, str]] = {
    "azimuth_deg": ("azimuth", "°"),
    "tilt_deg": ("tilt", "°"),
    "z_m": ("height", " m"),
    "level_db": ("level", " dB"),
    "delay_ms": ("delay", " ms"),
}
DIGITS = {"azimuth_deg": 1, "tilt_deg": 2, "z_m": 2, "level_db": 2, "delay_ms": 2}


def freedoms_of(
    system: SystemDescription,
    names: Sequence[str],
    bounds: dict[str, float],
    together: bool,
) -> list[Freedom]:
    """What may change: by `bounds` (quantity -> most change) around where it is now.

    `together`: all boxes turn alike, those on the left the mirrored way. A level or a delay
    belongs to the processor outputs that feed them; those of unknown gain keep their level.
    """
    boxes = {box.name: box for box in system.placements}
    outputs = {(output.processor, output.output): output for output in system.outputs}
    sets = [tuple(names)] if together else [(name,) for name in names]
    found = []
    for quantity in ("azimuth_deg", "tilt_deg", "z_m"):
        most = bounds.get(quantity, 0.0)
        for group in sets if most else ():
            values = [getattr(boxes[name], quantity) for name in group]
            less, more = _room(quantity, min(values), max(values), most)
            found.append(Freedom(group, _quantity(quantity), less, more, together))
    for lines in _line_sets(system, names, together):
        found += _of_lines(lines, outputs, bounds)
    return [freedom for freedom in found if freedom.less or freedom.more]


def _room(quantity: str, lowest: float, highest: float, most: float) -> tuple[float, float]:
    """How far it may go down and up without leaving what can be stored."""
    low, high = {
        "azimuth_deg": (-180.0, 360.0),
        "tilt_deg": (-STEEPEST_DEG, STEEPEST_DEG),
        "z_m": (LOWEST_M, HIGHEST_M),
    }[quantity]
    less, more = min(most, lowest - low), min(most, high - highest)
    if quantity == "azimuth_deg":  # mirrored boxes turn the other way
        less = more = min(less, more)
    return less, more


def _line_sets(
    system: SystemDescription, names: Sequence[str], together: bool
) -> list[list[DriveLine]]:
    """Lines that drive the boxes: all, or those of the same boxes with each other.

    Sets that share a processor output are one: its delay and gain are the same for all.
    """
    wanted = set(names)
    sets: dict[frozenset[str], list[DriveLine]] = {}
    for line in system.drive_lines:
        driven = frozenset(link.placement for link in line.links)
        if driven & wanted:
            sets.setdefault(frozenset() if together else driven, []).append(line)
    joined: list[list[DriveLine]] = []
    for lines in sets.values():
        keys = _outputs_of(lines)
        beside = [each for each in joined if _outputs_of(each) & keys]
        joined = [each for each in joined if each not in beside]
        joined.append([line for each in beside for line in each] + lines)
    return joined


def _outputs_of(lines: Sequence[DriveLine]) -> set[tuple[str, int]]:
    return {key for key in map(output_key, lines) if key is not None}


def _of_lines(
    lines: Sequence[DriveLine],
    outputs: Mapping[tuple[str, int], ProcessorOutput],
    bounds: dict[str, float],
) -> list[Freedom]:
    fed = [(line.name, outputs.get(key)) for line in lines if (key := output_key(line))]
    found = []
    trimmed = tuple(name for name, output in fed if output and output.gain_db is not None)
    most = bounds.get("level_db", 0.0)
    if most and trimmed:
        found.append(Freedom(trimmed, "level_db", most, most))
    most = bounds.get("delay_ms", 0.0)
    if most and fed:
        least = min(output.delay_ms if output else 0.0 for _, output in fed)
        names = tuple(name for name, _ in fed)
        found.append(Freedom(names, "delay_ms", min(most, least), most))
    return found


def _quantity(name: str) -> Quantity:
    known: dict[str, Quantity] = {
        "azimuth_deg": "azimuth_deg",
        "tilt_deg": "tilt_deg",
        "z_m": "z_m",
    }
    return known[name]


def search(description: Any, freedoms: Iterable[dict[str, Any]], progress: Progress) -> Any:
    """Run the search; plain data in, plain data out.

    Raises
    ------
    ValueError
        With a sentence: what cannot be worked out. What `progress` raises stops the search.
    """
    system = system_from_plain(description)
    wanted = [Freedom(**{**each, "names": tuple(each["names"])}) for each in freedoms]
    found: Proposal = aim_and_trim(system, wanted, progress)
    return {
        "before": dataclasses.asdict(found.before),
        "after": dataclasses.asdict(found.after),
        "changes": [dataclasses.asdict(change) for change in found.changes],
        "trials": found.trials,
        "complete": found.complete,
        "remarks": list(found.remarks),
    }


def evenness_rows(result: dict[str, Any]) -> list[tuple[str, str, str]]:
    """Figure, before and after."""
    before, after = Evenness(**result["before"]), Evenness(**result["after"])
    return [
        ("Deviation from the mean, 125 Hz to 4 kHz", *_pair(before, after, "deviation_db")),
        ("Quietest to loudest, mids", *_pair(before, after, "spread_mid_db")),
        (
            "Within 3 dB of the mean, mids",
            f"{100 * before.share_within_3_db:.0f} %",
            f"{100 * after.share_within_3_db:.0f} %",
        ),
        ("Mean level, mids, until the first line limits", *_pair(before, after, "mean_mid_db")),
    ]


def _pair(before: Evenness, after: Evenness, name: str) -> tuple[str, str]:
    return level(getattr(before, name)), level(getattr(after, name))


def changes_of(result: dict[str, Any]) -> list[tuple[str, str, str, str]]:
    """Name, what changes, before and after in words."""
    rows = []
    for change in result["changes"]:
        label, unit = LABELS[change["quantity"]]
        digits = DIGITS[change["quantity"]]
        was, now = (f"{number(round(change[k], digits))}{unit}" for k in ("before", "after"))
        if change["quantity"] == "level_db":
            was, now = "as it is", f"{change['after']:+.{digits}f}{unit}"
        rows.append((change["name"], label, was, now))
    return rows
