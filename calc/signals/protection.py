"""Whether every way that needs a high pass has one, high and steep enough."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.lookup import Lookup
from calc.prediction import Finding, State
from calc.signals.outputs import Played, played_by
from calc.signals.ways import by_band
from calc.signals.words import filter_words, hz_words
from calc.system import DriveLine, Filter, LoudspeakerSheet, SystemDescription, Way
from calc.words import joined

SOURCE = "what the loudspeaker's data sheet demands of the high pass in front of it"
SAME = 1e-6


@dataclass(frozen=True, slots=True)
class FedKind:
    """A kind of way that a line feeds, with the line and what its output does."""

    line: DriveLine
    played: Played
    sheet: LoudspeakerSheet
    way: Way

    @property
    def name(self) -> str:
        """Sheet and way."""
        return f"{self.sheet.name} ({self.way.name})" if self.way.name else self.sheet.name

    @property
    def feeder(self) -> str:
        """The output's name as `ProcessorOutput.name` has it; the line's where there is none."""
        if self.line.processor and self.line.output is not None:
            return f"{self.line.processor}, output {self.line.output}"
        return self.line.name


def protection_findings(system: SystemDescription, lookup: Lookup) -> Iterator[Finding]:
    """One for every output and kind of way on it that needs a high pass or may need one."""
    seen: dict[tuple[str, str, str], FedKind] = {}
    for fed in fed_kinds(system, lookup):
        if needs_high_pass(fed.sheet, fed.way):
            seen.setdefault((fed.feeder, fed.sheet.name, fed.way.name), fed)
    for fed in seen.values():
        yield _finding(fed)


def fed_kinds(system: SystemDescription, lookup: Lookup) -> Iterator[FedKind]:
    """Every way on every line."""
    for line in system.drive_lines:
        played = played_by(line, lookup)
        for link in line.links:
            sheet = lookup.sheet_of(link.placement)
            yield FedKind(line, played, sheet, lookup.way(link.placement, link.way))


def needs_high_pass(sheet: LoudspeakerSheet, way: Way) -> bool:
    """Whether it does, or nobody knows and it may.

    Unknown counts for every way of a box with several, and for subs. A full-range box with one
    input brings its own crossover.
    """
    least = way.least_high_pass_hz.value
    if least is not None:
        return least > 0
    return len(sheet.ways) > 1 or sheet.role == "sub"


def least_high_pass(ways: list[Way]) -> tuple[float, int]:
    """The corner (Hz) and order that all of some ways are content with; 0 where unknown."""
    corners = [way.least_high_pass_hz.value or 0.0 for way in ways]
    orders = [way.least_high_pass_order or 0 for way in ways]
    return max(corners, default=0.0), max(orders, default=0)


def _finding(fed: FedKind) -> Finding:
    least, order = fed.way.least_high_pass_hz.value, fed.way.least_high_pass_order
    part = _high_pass(fed.played)
    state, words = _judged(fed, part, least, order)
    working = [f"Set: {filter_words(part)}." if part else "Set: no high pass."]
    if least is not None:
        steep = "" if order is None else f", {6 * order} dB/octave or steeper"
        working.append(f"Demanded: {hz_words(least)} or above{steep}.")
    return Finding(
        subject=fed.feeder,
        check="protection",
        title="High pass that protects",
        state=state,
        value=None if part is None else part.frequency_hz,
        limit=least,
        unit="Hz",
        limit_source=SOURCE,
        sentence=f"{fed.feeder}, {fed.name}: {words}",
        working=tuple(working) if fed.played.output is not None else (),
        remedy="A high pass at the demanded corner or above, as steep as demanded.",
    )


def _high_pass(played: Played) -> Filter | None:
    filters = () if played.output is None else played.output.filters
    return next((part for part in filters if part.kind == "high-pass"), None)


def _judged(
    fed: FedKind, part: Filter | None, least: float | None, order: int | None
) -> tuple[State, str]:
    if least is None:
        where = "" if part is None else f" It has {filter_words(part)} now."
        lowest = fed.way is by_band(fed.sheet)[0]
        what = "the lowest high pass that it bears" if lowest else "its lowest allowed crossover"
        return "cannot check", f"{what} is unknown.{where} Enter it on the data sheet."
    if fed.played.output is None:
        return "cannot check", "nobody said what this output does. Enter its filters."
    demanded = f"a high pass at {hz_words(least)} or above"
    if part is None:
        return "fails", f"no high pass protects it. Set {demanded}."
    faults = []
    if part.frequency_hz < least * (1 - SAME):
        faults.append(f"its high pass at {hz_words(part.frequency_hz)} is too low")
    if order is not None and part.order < order:
        faults.append(f"{6 * part.order} dB/octave is too shallow")
    if faults:
        steep = "" if order is None else f", {6 * order} dB/octave or steeper"
        return "fails", f"{joined(faults)}. Set {demanded}{steep}."
    if order is None:
        return "tight", f"{filter_words(part)}; how steep it must be is not stated."
    return "holds", f"{filter_words(part)}."
