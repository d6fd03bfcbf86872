"""The separately driven ways of boxes, and which of them are neighbours."""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from calc.lookup import Lookup
from calc.prediction import BoxResult, LineResult
from calc.signals.outputs import Played, played_by
from calc.system import DriveLine, Filter, LoudspeakerSheet, Placement, SystemDescription, Way

LIKE_DB = 0.5
"""dB. Boxes between whose ways lies the same level within this are set alike."""


@dataclass(frozen=True, slots=True)
class DrivenWay:
    """One way of a box with all that feeds it.

    `volts` are at the box with the line at full drive, `drive_v` those at its amplifier, `gain_db`
    leads from the processor's output to the amplifier's; None where unknown.
    """

    way: Way
    line: DriveLine
    played: Played
    volts: float | None
    drive_v: float | None
    gain_db: float | None

    @property
    def through_db(self) -> float | None:
        """Gain from the processor's input to the amplifier's output; None where unknown."""
        if self.played.gain_db is None or self.gain_db is None:
            return None
        return self.played.gain_db + self.line.level_control_db + self.gain_db

    def pass_of(self, kind: str) -> Filter | None:
        """Its high or low pass; None where it has none."""
        output = self.played.output
        filters = () if output is None else output.filters
        return next((part for part in filters if part.kind == kind), None)

    @property
    def set_like(self) -> object:
        """Equal for ways whose outputs are set alike."""
        output = self.played.output
        bare = None if output is None else replace(output, processor="", output=0, inputs=())
        return (self.way.name, bare, self.played.abilities)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two neighbouring ways of a box, the lower first, each on a processor output of its own."""

    placement: Placement
    sheet: LoudspeakerSheet
    lower: DrivenWay
    upper: DrivenWay

    @property
    def set_like(self) -> object:
        """Equal for pairs that give the same answer on the axis."""
        return (self.sheet.name, self.lower.set_like, self.upper.set_like, self._between_db)

    @property
    def _between_db(self) -> tuple[int | None, int | None]:
        """Volts and gains of one way over the other's, coarsely: a longer cable changes nothing."""
        volts = (self.lower.volts, self.upper.volts)
        gains = (self.lower.through_db, self.upper.through_db)
        apart = 20 * math.log10(volts[1] / volts[0]) if volts[0] and volts[1] else None
        more = None if gains[0] is None or gains[1] is None else gains[1] - gains[0]
        coarse = [None if level is None else round(level / LIKE_DB) for level in (apart, more)]
        return coarse[0], coarse[1]


def pairs_of(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    output: tuple[str, int] | None = None,
) -> Iterator[Pair]:
    """All pairs of neighbouring ways, box by box; with `output` only those that it feeds.

    Ways that one output feeds are no pair, as no setting lies between them; nor are ways that
    nobody drives or that two lines do.
    """
    results = {line.name: line for line in lines}
    boxes = {(box.placement, box.way): box for line in lines for box in line.boxes}
    drivers: dict[tuple[str, str], list[DriveLine]] = defaultdict(list)
    for line in system.drive_lines:
        for link in line.links:
            drivers[link.placement, link.way].append(line)
    for placement in system.placements:
        sheet = lookup.loudspeakers[placement.sheet]
        ways = by_band(sheet)
        for low, high in pairwise(ways):
            keys = (placement.name, low.name), (placement.name, high.name)
            if any(len(drivers[key]) != 1 for key in keys):
                continue
            fed = [drivers[key][0] for key in keys]
            feeds = [(line.processor, line.output) for line in fed]
            if feeds[0] == feeds[1] or fed[0] is fed[1]:
                continue
            if output is not None and output not in feeds:
                continue
            lower, upper = (
                _driven(way, line, lookup, results[line.name], boxes[key])
                for way, line, key in zip((low, high), fed, keys, strict=True)
            )
            yield Pair(placement, sheet, lower, upper)


def by_band(sheet: LoudspeakerSheet) -> list[Way]:
    """The ways from the lowest band to the highest; as listed where a band is unknown."""
    ways = list(sheet.ways)
    if any(way.low_hz.value is None for way in ways):
        return ways
    return sorted(ways, key=lambda way: (way.low_hz.value or 0.0, way.high_hz.value or 0.0))


def _driven(
    way: Way, line: DriveLine, lookup: Lookup, result: LineResult, box: BoxResult
) -> DrivenWay:
    return DrivenWay(
        way, line, played_by(line, lookup), box.voltage_v, result.drive_v, result.gain_db
    )
