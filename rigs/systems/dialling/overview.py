"""All outputs of a rig's processors: what feeds them, what they drive, how they are set."""

from collections.abc import Iterable
from dataclasses import dataclass

from rigs.events.models import Event
from rigs.systems.describe import Finding, SystemDescription
from rigs.systems.describe.dialling.checked import CheckedProcessing
from rigs.systems.describe.dialling.words import DriveLine, entries_of
from rigs.systems.models import ProcessorPlace

CANNOT_CHECK, FAILS = "cannot check", "fails"
FILTERS_START = ("High-pass", "Low-pass", "Filter")


@dataclass(frozen=True, slots=True)
class OutputRow:
    """One output as the overview tells it. `said` is None where no revision names it."""

    number: int
    name: str
    lines: list[str]
    boxes: str
    said: dict[str, str] | None
    state: str
    sentence: str

    @property
    def idle(self) -> bool:
        """Nothing is connected and nothing is set."""
        return not self.lines and self.said is None

    @property
    def filters(self) -> list[str]:
        """Passes and filters in words, each with what it is."""
        found = []
        for label, words in (self.said or {}).items():
            if label.startswith(FILTERS_START) and words != "none":
                found.append(f"{label}, {words}" if label.endswith("pass") else words)
        return found


@dataclass(frozen=True, slots=True)
class ProcessorTable:
    """One processor with its outputs in use, and the numbers of those that are not."""

    place: ProcessorPlace
    rows: list[OutputRow]
    idle: list[int]


def tables(
    event: Event, system: SystemDescription, checked: CheckedProcessing
) -> list[ProcessorTable]:
    """A table for each processor, in the order of names."""
    made = []
    for place in sorted(event.processorplaces.all(), key=lambda each: each.name):
        rows = [row_of(system, place, n, checked) for n in numbers_of(system, place)]
        made.append(
            ProcessorTable(
                place,
                [row for row in rows if not row.idle],
                [row.number for row in rows if row.idle],
            )
        )
    return made


def numbers_of(system: SystemDescription, place: ProcessorPlace) -> list[int]:
    """The outputs that a processor has, and those beyond that something is set for."""
    told = {output.output for output in system.outputs if output.processor == place.name}
    return sorted(told | set(range(1, place.processor.outputs + 1)))


def row_of(
    system: SystemDescription, place: ProcessorPlace, number: int, checked: CheckedProcessing
) -> OutputRow:
    """One output of a processor."""
    name = f"{place.name}, output {number}"
    driven = lines_on(system, place.name, number)
    stored = next(
        (o for o in system.outputs if (o.processor, o.output) == (place.name, number)), None
    )
    found = checked.of({name})
    said = entries_of(stored, system.surroundings.temperature_c) if stored else None
    nobody = CANNOT_CHECK if said is None else ""
    state = found[0].state if found else nobody
    sentence = found[0].sentence if found and found[0].state != "holds" else ""
    misfits = misfits_on(checked, place.name, number)
    if misfits and state != FAILS:
        state, sentence = FAILS, f"Does not fit the processor: {', '.join(misfits)}."
    return OutputRow(
        number=number,
        name=name,
        lines=[line.name for line in driven],
        boxes=boxes_on(driven),
        said=said,
        state=state,
        sentence=sentence,
    )


def misfits_on(checked: CheckedProcessing, processor: str, number: int) -> list[str]:
    """Those of an output's settings that its processor cannot do, by name."""
    return [
        entry.name
        for sheet in checked.sheets
        if sheet.processor == processor
        for output in sheet.outputs
        if output.output == number
        for entry in output.entries
        if not entry.fits
    ]


def lines_on(system: SystemDescription, processor: str, number: int) -> list[DriveLine]:
    """Drive lines that start at an output."""
    return [
        line for line in system.drive_lines if (line.processor, line.output) == (processor, number)
    ]


def boxes_on(lines: Iterable[DriveLine]) -> str:
    """The boxes of some lines, each with its way."""
    return ", ".join(f"{link.placement} '{link.way}'" for line in lines for link in line.links)


def about_crossovers(system: SystemDescription, checked: CheckedProcessing) -> list[Finding]:
    """Findings that stand beside no output and no alignment."""
    outputs = {output.name for output in system.outputs}
    outputs |= {f"{line.processor}, output {line.output}" for line in system.drive_lines}
    elsewhere = outputs | {alignment.name for alignment in system.alignments}
    return [finding for finding in checked.findings if finding.subject not in elsewhere]
