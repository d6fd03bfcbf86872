"""From judged lines to what the loading page shows: types down, events across, worst first."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from rigs.catalogue.models import Amplifier
from rigs.fleet.loading import Judged, LineLoading


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the person asked to see. Empty words and None mean: everything."""

    figure: str = "worst"
    amplifier_id: int | None = None
    state: str = ""
    headroom_under_db: float | None = None

    def keeps(self, line: LineLoading) -> bool:
        """Whether a line stays. Unknown headroom stays: it could be under anything."""
        if self.amplifier_id is not None and line.amplifier_id != self.amplifier_id:
            return False
        if self.state and line.by(self.figure).state != self.state:
            return False
        if self.headroom_under_db is not None:
            headroom = line.headroom.value
            return headroom is None or headroom < self.headroom_under_db
        return True


@dataclass(frozen=True, slots=True)
class Column:
    """One event across the grid."""

    event_id: int
    event: str
    out_at: datetime
    day: str


@dataclass(frozen=True, slots=True)
class Cell:
    """The worst line of one type at one event."""

    line: LineLoading
    shown: Judged
    lines: int


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst line in load, in headroom and in damping: often not the same one."""

    load: LineLoading
    headroom: LineLoading
    damping: LineLoading


@dataclass(frozen=True, slots=True)
class UnitLoading:
    """One unit (None: no unit is chosen) and its lines, worst first."""

    unit: tuple[int, str] | None
    worst: Worst
    lines: tuple[LineLoading, ...]


@dataclass(frozen=True, slots=True)
class ChannelUse:
    """The event that uses most channels of a type, by itself, against the channels owned."""

    event: str
    used: int
    owned: int


@dataclass(frozen=True, slots=True)
class TypeLoading:
    """One amplifier type: its first line of all, its worst, one cell per column, its units."""

    amplifier: Amplifier
    first: LineLoading
    shown: Judged
    worst: Worst
    cells: tuple[Cell | None, ...]
    units: tuple[UnitLoading, ...]
    idle_units: tuple[tuple[int, str], ...]
    channels: ChannelUse


@dataclass(frozen=True, slots=True)
class Grid:
    """The whole page. `idle` are types that no drive line ahead uses."""

    columns: tuple[Column, ...]
    types: tuple[TypeLoading, ...]
    idle: tuple[tuple[Amplifier, int], ...]
    near_minimum: tuple[LineLoading, ...]
    lines: int


def build(lines: list[LineLoading], amplifiers: Iterable[Amplifier], wanted: Wanted) -> Grid:
    """Arrange judged lines; what `wanted` drops is gone everywhere but from `idle`."""
    kept = sorted(filter(wanted.keeps, lines), key=lambda line: _order(line, wanted))
    by_type: dict[int, list[LineLoading]] = defaultdict(list)
    for line in kept:
        by_type[line.amplifier_id].append(line)
    columns = _columns(kept)
    everything = list(amplifiers)
    types = {a.pk: a for a in everything}
    return Grid(
        columns=columns,
        # `kept` is sorted, so the types come in the order of their worst line.
        types=tuple(_type(types[pk], own, lines, columns, wanted) for pk, own in by_type.items()),
        idle=_idle(everything, lines, wanted),
        near_minimum=tuple(line for line in kept if line.near_minimum),
        lines=len(kept),
    )


def _order(line: LineLoading, wanted: Wanted) -> tuple[tuple[int, float], datetime, str]:
    return line.by(wanted.figure).order, line.out_at, line.line


def _columns(lines: Iterable[LineLoading]) -> tuple[Column, ...]:
    found = {
        line.event_id: Column(line.event_id, line.event, line.out_at, line.day) for line in lines
    }
    return tuple(sorted(found.values(), key=lambda column: (column.out_at, column.event)))


def _type(
    amplifier: Amplifier,
    own: list[LineLoading],
    everything: list[LineLoading],
    columns: tuple[Column, ...],
    wanted: Wanted,
) -> TypeLoading:
    used = {line.unit for line in everything}
    return TypeLoading(
        amplifier=amplifier,
        first=own[0],
        shown=own[0].by(wanted.figure),
        worst=_worst(own),
        cells=tuple(_cell(column, own, wanted) for column in columns),
        units=_units(own),
        idle_units=tuple(
            (unit.pk, unit.serial)
            for unit in amplifier.units.all()
            if (unit.pk, unit.serial) not in used
        ),
        channels=_channels(amplifier, everything),
    )


def _cell(column: Column, own: list[LineLoading], wanted: Wanted) -> Cell | None:
    here = [line for line in own if line.event_id == column.event_id]
    return Cell(here[0], here[0].by(wanted.figure), len(here)) if here else None


def _units(own: list[LineLoading]) -> tuple[UnitLoading, ...]:
    by_unit: dict[tuple[int, str] | None, list[LineLoading]] = defaultdict(list)
    for line in own:
        by_unit[line.unit].append(line)
    return tuple(UnitLoading(unit, _worst(lines), tuple(lines)) for unit, lines in by_unit.items())


def _worst(lines: list[LineLoading]) -> Worst:
    return Worst(
        load=min(lines, key=lambda line: line.load.order),
        headroom=min(lines, key=lambda line: line.headroom.order),
        damping=min(lines, key=lambda line: line.damping.order),
    )


def _channels(amplifier: Amplifier, everything: list[LineLoading]) -> ChannelUse:
    used: dict[int, int] = defaultdict(int)
    names = {line.event_id: line.event for line in everything}
    for line in everything:
        if line.amplifier_id == amplifier.pk:
            used[line.event_id] += len(line.channels)
    tightest = max(used, key=lambda event_id: used[event_id])
    return ChannelUse(
        names[tightest], used[tightest], amplifier.channels * len(amplifier.units.all())
    )


def _idle(
    amplifiers: list[Amplifier], lines: list[LineLoading], wanted: Wanted
) -> tuple[tuple[Amplifier, int], ...]:
    busy = {line.amplifier_id for line in lines}
    return tuple(
        (amplifier, len(amplifier.units.all()))
        for amplifier in amplifiers
        if amplifier.pk not in busy and wanted.amplifier_id in (None, amplifier.pk)
    )
