"""How hard each amplifier works: every drive line of the events ahead, judged.

The one module of `fleet` that touches `calc`. Everything after it handles plain values.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from calc.prediction import SEVERITY, Finding, LineResult, State
from rigs.events.clocks import said_day
from rigs.events.models import Event
from rigs.fleet import queries
from rigs.systems.describe import (
    SystemDescription,
    checked_lines,
    checked_sums,
    describe_events,
)
from rigs.systems.models import DriveLine

CHECKS = ("load", "power", "peak", "headroom", "damping")
"""What says how hard an amplifier works. Cable loss and limiter are the line's own matter."""

UNITS = {"load": "ohm", "power": "times rated", "peak": "dB", "headroom": "dB", "damping": ""}
NEAR_MINIMUM = 1.1

PHASE_CHECKS = ("phase",)
"""Of phases and of circuits; the rest of the mains stands on the rig's own page."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One figure of one line against its limit. `value` None: unknown."""

    check: str
    state: State
    value: float | None
    limit: float | None
    unit: str
    sentence: str

    @property
    def order(self) -> tuple[int, float]:
        """Sorts the worst first: by state, then by how little is left; unknown before known."""
        return SEVERITY.index(self.state), self._left()

    def _left(self) -> float:
        """What is left as a factor, 1 at the limit, -1 if unknown."""
        if self.value is None or self.limit is None:
            return -1.0
        if self.check == "headroom":
            return float(10 ** ((self.value - self.limit) / 20))
        if self.check == "peak":
            return float(10 ** ((self.limit - self.value) / 20))
        if self.check == "power" and self.state != "holds" and self.value > self.limit:
            return self.limit / self.value
        return self.value / self.limit


@dataclass(frozen=True, slots=True)
class LineLoading:
    """One drive line at one event: which amplifier, which channels, and how hard it works.

    `day` is when the kit leaves, by the venue's calendar. `unit` is None when no unit is
    chosen: any of the type may travel.
    """

    event_id: int
    event: str
    out_at: datetime
    day: str
    line_id: int
    line: str
    amplifier_id: int
    amplifier: str
    unit: tuple[int, str] | None
    place: str
    rack: str
    channels: tuple[int, ...]
    mode: str
    judged: dict[str, Judged]

    @property
    def load(self) -> Judged:
        return self.judged["load"]

    @property
    def headroom(self) -> Judged:
        return self.judged["headroom"]

    @property
    def damping(self) -> Judged:
        return self.judged["damping"]

    @property
    def worst(self) -> Judged:
        """What is worst; when nothing stands out, the load."""
        found = min(self.judged.values(), key=lambda judged: judged.order)
        return self.load if found.state == "holds" else found

    def by(self, figure: str) -> Judged:
        """The figure that was asked for; any other word gives the worst of all."""
        return self.judged.get(figure) or self.worst

    @property
    def near_minimum(self) -> bool:
        """Whether the load lies below the amplifier's minimum or within 10 % above it."""
        value, limit = self.load.value, self.load.limit
        return value is not None and limit is not None and value <= limit * NEAR_MINIMUM


@dataclass(frozen=True, slots=True)
class MainsTrouble:
    """A phase or a circuit at one event that does not hold."""

    event_id: int
    event: str
    day: str
    state: State
    sentence: str


@dataclass(frozen=True, slots=True)
class Loadings:
    """What the events ahead ask of the amplifiers, and of the mains where it is too much."""

    lines: list[LineLoading]
    mains: list[MainsTrouble]


def loadings(events: Iterable[Event]) -> Loadings:
    """Every drive line and every phase of the events, judged, in a constant number of queries."""
    asked = {event.pk: event for event in events}
    described = {event.pk: system for event, system in describe_events(asked.values())}
    results = {pk: checked_lines(system) for pk, system in described.items()}
    lines = []
    for line in queries.lines_of(asked.values()):
        checked = results.get(line.event_id)
        result = checked.results.get(line.name) if checked else None
        fault = checked.fault if checked else ""
        lines.append(_loading(line, asked[line.event_id], result, fault))
    mains = [trouble for pk, system in described.items() for trouble in _mains(asked[pk], system)]
    return Loadings(lines, sorted(mains, key=lambda one: SEVERITY.index(one.state)))


def _mains(event: Event, system: SystemDescription) -> Iterator[MainsTrouble]:
    """Worth a look only where somebody has described how the racks are plugged."""
    if not (system.rack_feeds and system.supplies):
        return
    for finding in checked_sums(system).findings(PHASE_CHECKS):
        if finding.state != "holds":
            yield MainsTrouble(event.pk, event.name, _day(event), finding.state, finding.sentence)


def _day(event: Event) -> str:
    """When the kit leaves, by the venue's calendar."""
    return said_day(event.out_at.astimezone(ZoneInfo(event.space.venue.zone)))


def _loading(line: DriveLine, event: Event, result: LineResult | None, fault: str) -> LineLoading:
    place = line.amplifier_place
    return LineLoading(
        event_id=event.pk,
        event=event.name,
        out_at=event.out_at,
        day=_day(event),
        line_id=line.pk,
        line=line.name,
        amplifier_id=place.amplifier_id,
        amplifier=str(place.amplifier),
        unit=None if place.unit is None else (place.unit.pk, place.unit.serial),
        place=place.name,
        rack=place.rack,
        channels=tuple(range(line.first_channel, line.first_channel + line.width)),
        mode=line.mode,
        judged={check: _judged(check, result, fault) for check in CHECKS},
    )


def _judged(check: str, result: LineResult | None, fault: str) -> Judged:
    finding = _finding(check, result)
    if finding is None:
        sentence = fault or "This was not worked out. Open the line to see why."
        return Judged(check, "cannot check", None, None, UNITS[check], sentence)
    return Judged(
        check, finding.state, finding.value, finding.limit, UNITS[check], finding.sentence
    )


def _finding(check: str, result: LineResult | None) -> Finding | None:
    findings = result.findings if result else ()
    return next((finding for finding in findings if finding.check == check), None)
