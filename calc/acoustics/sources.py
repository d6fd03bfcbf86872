"""Which boxes enter the map, and which cannot and why."""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.directivity.table import Table
from calc.acoustics.drawable import missing_for_map, source_of, way_table
from calc.acoustics.field.source import PointSource
from calc.lookup import Lookup
from calc.prediction import LineResult
from calc.signals.outputs import played_by
from calc.system import Placement, SystemDescription, Way


@dataclass(frozen=True, slots=True)
class Drawn:
    """One way in the map: whose it is, and its source with its line at full drive."""

    placement: str
    way: str
    line: str
    source: PointSource

    @property
    def name(self) -> str:
        """How sentences call it."""
        return name_of(self.placement, self.way)


@dataclass(frozen=True, slots=True)
class Field:
    """All sources of a rig and what is missing among them.

    `missing` names the box ways that sound but could not be drawn, `missing_in_mids` those of
    them that play, or may play, between 500 Hz and 4 kHz, `missing_in_voice` those from 180 Hz to
    5.6 kHz.
    """

    drawn: tuple[Drawn, ...]
    missing: tuple[str, ...]
    missing_in_mids: tuple[str, ...]
    unchecked: tuple[str, ...]
    missing_in_voice: tuple[str, ...] = ()

    @property
    def sources(self) -> tuple[PointSource, ...]:
        """The sources alone, every line at full drive."""
        return tuple(drawn.source for drawn in self.drawn)

    @property
    def plays_mids(self) -> bool:
        """Whether anything in the map plays between 500 Hz and 4 kHz."""
        mids = slice(3 * bands.MIDS.start, 3 * bands.MIDS.stop)
        return any(np.any(source.gain[mids]) for source in self.sources)


def name_of(placement: str, way: str) -> str:
    """A way of a box in words."""
    return f"{placement} ({way})" if way else placement


def field_of(system: SystemDescription, lookup: Lookup, lines: tuple[LineResult, ...]) -> Field:
    """Collect the sources of a rig from the volts that its drive lines give."""
    volts = {(box.placement, box.way): box.voltage_v for line in lines for box in line.boxes}
    driven = Counter((box.placement, box.way) for line in lines for box in line.boxes)
    line_of = {(k.placement, k.way): line for line in system.drive_lines for k in line.links}
    speed = speed_of_sound(system.surroundings.temperature_c)
    tables: dict[tuple[str, str], Table] = {}
    drawn: list[Drawn] = []
    missing: list[tuple[str, Way]] = []
    said: list[str] = []
    for placement in system.placements:
        sheet = lookup.loudspeakers[placement.sheet]
        for way in sheet.ways:
            name, key = name_of(placement.name, way.name), (placement.name, way.name)
            if driven[key] == 0:
                said.append(f"{name} is driven by nobody: it is silent in the map.")
                continue
            level = volts[key]
            reason = _reason(way, level, driven[key])
            if level is None or reason:
                missing.append((name, way))
                said.append(f"{name} is not in the map: {reason}.")
                continue
            if (sheet.name, way.name) not in tables:
                tables[sheet.name, way.name] = way_table(sheet, way, speed)
            table, line = tables[sheet.name, way.name], line_of[key]
            source = source_of(placement, way, table, level, played_by(line, lookup))
            drawn.append(Drawn(placement.name, way.name, line.name, source))
            said += _shape_remarks(name, way, lookup, placement)
    return Field(
        tuple(drawn),
        tuple(name for name, _ in missing),
        tuple(name for name, way in missing if _may_play(way, 500, 4000)),
        tuple(said) if system.areas else (),
        tuple(name for name, way in missing if _may_play(way, 180, 5600)),
    )


def _shape_remarks(name: str, way: Way, lookup: Lookup, placement: Placement) -> list[str]:
    """What is rough about a way's directivity, in words."""
    sheet = lookup.loudspeakers[placement.sheet]
    if way.balloon is not None:
        return []
    if way.piston_diameter_m.known:
        return [f"{name} is drawn as a round piston in an endless baffle: silent behind."]
    if sheet.width_m.value is None or sheet.height_m.value is None:
        return [
            f"{name}: its size is unknown, so that its coverage angle is drawn alike "
            "at all frequencies."
        ]
    return []


def _reason(way: Way, volts: float | None, lines: int) -> str:
    """Why a driven way cannot be drawn; "" when it can."""
    if lines > 1:
        return "two drive lines drive it"
    figure = "voltage" if volts is None else missing_for_map(way)
    return f"its {figure} is unknown" if figure else ""


def _may_play(way: Way, from_hz: float, to_hz: float) -> bool:
    low, high = way.low_hz.value, way.high_hz.value
    return not ((high is not None and high < from_hz) or (low is not None and low > to_hz))
