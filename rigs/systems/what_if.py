"""Another amplifier, cable, mode, gain or level control tried on a line, stored only if kept.

The change is made on the rows in memory, the very rows that keeping it saves: what is shown
before is what saving gives.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rigs.catalogue.models import Amplifier, Cable
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.comparing import (
    OtherLine,
    Row,
    compared_figures,
    compared_findings,
)
from rigs.systems.describe import CheckedLines, checked_few, freeze
from rigs.systems.models import AmplifierPlace, DriveLine, Link
from rigs.systems.pictures.figures import without_subject
from rigs.systems.pictures.limiting import worst_finding


@dataclass(frozen=True, slots=True)
class Change:
    """What is tried. `cable` and `pieces` None: as they are. `run` None: every run."""

    amplifier: Amplifier
    gain_db: float | None
    mode: str
    first_channel: int
    level_control_db: float
    run: int | None = None
    cable: Cable | None = None
    pieces: int | None = None


@dataclass(frozen=True, slots=True)
class Tried:
    """Before and after. `faults` are sentences by field: then there is no after."""

    faults: Mapping[str, list[str]]
    state_before: str = ""
    state_after: str = ""
    findings: tuple[Row, ...] = ()
    figures: tuple[Row, ...] = ()
    others: tuple[OtherLine, ...] = ()
    notes: tuple[str, ...] = ()


def try_out(event: Event, line_id: int, change: Change) -> Tried:
    """Compare a line of `event` (read by `queries.rig`) before and after; stores nothing.

    `event` is changed in memory: read it anew before showing anything else of it.
    """
    line = _line(event, line_id)
    beside = [each.name for each in event.drivelines.all() if _same_place(each, line)]
    before = checked_few(freeze(event), beside)
    notes = _notes(line, change)
    place, links = applied(event, line, change)
    faults = actions.what_if_faults(place, line, links)
    if faults:
        return Tried(faults)
    after = checked_few(freeze(event), beside)
    fault = before.fault or after.fault
    if fault:
        return Tried({"": [fault]})
    first, second = before.results[line.name], after.results[line.name]
    return Tried(
        faults={},
        state_before=first.state,
        state_after=second.state,
        findings=tuple(compared_findings(first, second)),
        figures=tuple(compared_figures(first, second)),
        others=tuple(_others(line.name, before, after)),
        notes=tuple(notes),
    )


def keep(
    event: Event, line_id: int, change: Change, seen_place: int, seen_line: int, person: Person
) -> DriveLine:
    """Store what was tried, by the same actions as any other change."""
    line = _line(event, line_id)
    place, links = applied(event, line, change)
    return actions.keep_what_if(place, seen_place, line, links, seen_line, person)


def applied(event: Event, line: DriveLine, change: Change) -> tuple[AmplifierPlace, list[Link]]:
    """Make the change on the rows in memory."""
    place = next(p for p in event.amplifierplaces.all() if p.pk == line.amplifier_place_id)
    line.amplifier_place = place
    if place.amplifier_id != change.amplifier.pk:
        place.amplifier, place.unit = change.amplifier, None
    place.gain_db = change.gain_db
    line.mode, line.first_channel = change.mode, change.first_channel
    line.level_control_db = change.level_control_db
    line.set_channels()
    links = list(line.links.all())
    for number, link in enumerate(links):
        if change.run not in (None, number):
            continue
        if change.cable is not None:
            link.cable = change.cable
        if change.pieces is not None:
            link.pieces = change.pieces
    return place, links


def _line(event: Event, line_id: int) -> DriveLine:
    return next(line for line in event.drivelines.all() if line.pk == line_id)


def _same_place(one: DriveLine, other: DriveLine) -> bool:
    return one.amplifier_place_id == other.amplifier_place_id


def _notes(line: DriveLine, change: Change) -> list[str]:
    place: Any = line.amplifier_place
    if place.amplifier_id == change.amplifier.pk:
        return []
    found = [f"{place} would be a {change.amplifier}: put one on the kit list."]
    if place.unit_id:
        found.append("The unit that is chosen now would be let go.")
    return found


def _others(name: str, before: CheckedLines, after: CheckedLines) -> list[OtherLine]:
    found = []
    for other, result in after.results.items():
        if other == name or result == before.results[other]:
            continue
        worst = worst_finding(result)
        sentence = without_subject(worst) if worst else ""
        found.append(OtherLine(other, before.results[other].state, result.state, sentence))
    return found
