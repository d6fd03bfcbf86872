"""The limiter figures that somebody set at the processor, and whether they still hold."""

from dataclasses import dataclass, replace
from typing import Any

from calc.prediction import LineResult
from calc.words import number
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.describe import (
    SystemDescription,
    differences,
    fingerprint,
    limiter_inputs,
    system_from_plain,
    to_plain,
)
from rigs.systems.faults import NotSaved
from rigs.systems.models import DriveLine, LimiterNote
from rigs.systems.pictures.words import signed

NAME = "this line"
UNREADABLE = "They were set for a description of this line that cannot be read any more."


@dataclass(frozen=True, slots=True)
class ShownLimiter:
    """Thresholds now, and what was set (`note`). `changes` say why the note no longer holds."""

    rms_dbu: float | None
    now: str
    times: str
    made_for: str
    note: LimiterNote | None
    then: str
    changes: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether what was set is still right."""
        return self.note is not None and not self.changes


def shown_limiter(
    system: SystemDescription, line: DriveLine, result: LineResult, note: LimiterNote | None
) -> ShownLimiter:
    """Compare what was set with what the rig asks for now."""
    inputs = _inputs(system, line)
    changes = () if note is None else _changes(note, inputs, line)
    made_for = fingerprint(inputs)
    return ShownLimiter(
        rms_dbu=result.limiter_rms_dbu,
        now=_words(result.limiter_rms_dbu, result.limiter_peak_dbu),
        times=_times(result),
        made_for=made_for,
        note=note,
        then=_words(note.rms_dbu, note.peak_dbu) if note else "",
        changes=changes,
    )


def _words(rms_dbu: float | None, peak_dbu: float | None) -> str:
    if rms_dbu is None:
        return "unknown"
    peak = "unknown" if peak_dbu is None else signed(peak_dbu, "dBu")
    return f"rms {signed(rms_dbu, 'dBu')}, peak {peak}"


def _times(result: LineResult) -> str:
    attack, release = result.limiter_attack_ms, result.limiter_release_ms
    basis = f"On the {result.limiter_basis} rating"
    if attack is None or release is None:
        return f"{basis}; attack and release unknown: the way's lowest frequency is missing."
    return f"{basis}; attack {number(attack)} ms, release {number(release)} ms."


def set_limiter(
    system: SystemDescription, line: DriveLine, result: LineResult, seen: str, person: Person
) -> LimiterNote:
    """Note that the figures that the person saw (`seen` is their fingerprint) are set now.

    Raises
    ------
    NotSaved
        The line has changed since the page was made, or its thresholds are unknown.
    """
    inputs = _inputs(system, line)
    made_for = fingerprint(inputs)
    if made_for != seen:
        raise NotSaved(
            {"": ["The line changed while you had the page open. Set the figures shown now."]}
        )
    if result.limiter_rms_dbu is None:
        raise NotSaved({"": ["The thresholds of this line are unknown: there is nothing to set."]})
    return actions.note_limiter(
        line,
        person,
        rms_dbu=result.limiter_rms_dbu,
        peak_dbu=result.limiter_peak_dbu,
        inputs=to_plain(inputs),
        made_for=made_for,
    )


def _inputs(system: SystemDescription, line: DriveLine) -> SystemDescription:
    """A line's new name voids nothing."""
    return _named(limiter_inputs(system, line.name), NAME)


def _named(system: SystemDescription, name: str) -> SystemDescription:
    lines = tuple(replace(each, name=name) for each in system.drive_lines)
    return replace(system, drive_lines=lines)


def _changes(note: LimiterNote, now: SystemDescription, line: DriveLine) -> tuple[str, ...]:
    if note.made_for == fingerprint(now):
        return ()
    stored: Any = note.inputs
    try:
        then = system_from_plain(stored)
    except ValueError:
        return (UNREADABLE,)
    found = tuple(differences(_named(then, line.name), _named(now, line.name)))
    return found or (UNREADABLE,)
