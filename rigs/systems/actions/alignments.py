"""Changes to listening spots, measured responses and alignments."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.actions.base import changing, remove, save
from rigs.systems.faults import Faults, faults_of, refuse
from rigs.systems.models import Alignment, DriveLine, ListeningSpot, MeasuredResponse

CURVES = ("frequency_hz", "level_db", "phase_deg")
MOST_POINTS = 500  # 48 to an octave; a description takes no longer lists
BEYOND_ALL = 1e6


def save_spot(spot: ListeningSpot, seen: int | None, person: Person | None) -> ListeningSpot:
    """Save a listening spot."""
    with changing(spot):
        refuse(faults_of(spot))
        save(spot, seen, person)
    return spot


def remove_spot(spot: ListeningSpot, seen: int) -> None:
    """Take a spot and what was measured there away, unless an alignment is judged there."""
    remove(spot, seen, queries.alignments_at, _judged_here)


def save_alignment(
    alignment: Alignment,
    moved: Sequence[DriveLine],
    reference: Sequence[DriveLine],
    seen: int | None,
    person: Person | None,
) -> Alignment:
    """Save an alignment and the lines of its two sides."""
    with changing(alignment):
        refuse(faults_of(alignment) | _side_faults(alignment, moved, reference))
        save(alignment, seen, person)
        alignment.moved.set(moved)
        alignment.reference.set(reference)
    return alignment


def remove_alignment(alignment: Alignment, seen: int) -> None:
    """Take an alignment away; delays that were set for it stay."""
    remove(alignment, seen)


def save_measured(
    measured: MeasuredResponse, seen: int | None, person: Person | None
) -> MeasuredResponse:
    """Keep what was measured of a line at a spot."""
    with changing(measured):
        refuse(faults_of(measured) | _measured_faults(measured))
        save(measured, seen, person)
    return measured


def remove_measured(measured: MeasuredResponse, seen: int) -> None:
    """Take a measured response away: geometry counts again."""
    remove(measured, seen)


def _judged_here(spot: object, alignments: Sequence[str]) -> str:
    named = ", ".join(alignments)
    many = "Alignments" if len(alignments) > 1 else "Alignment"
    verb = "are" if len(alignments) > 1 else "is"
    return f"{many} {named} {verb} judged at {spot}. Choose another spot there first."


def _side_faults(
    alignment: Alignment, moved: Sequence[DriveLine], reference: Sequence[DriveLine]
) -> Faults:
    faults: Faults = {}
    if not moved:
        faults["moved"] = ["Choose at least one line to delay."]
    if not reference:
        faults["reference"] = ["Choose at least one line that they shall meet."]
    both = sorted({str(line) for line in moved if line in reference})
    if both:
        faults["moved"] = [f"{', '.join(both)} stands on both sides. Leave it on one."]
    for name, lines in (("moved", moved), ("reference", reference)):
        if any(line.event_id != alignment.event_id for line in lines):
            faults[name] = ["A line of another event's rig stands here."]
    if alignment.spot_id and alignment.spot.event_id != alignment.event_id:
        faults["spot"] = ["This spot belongs to another event."]
    return faults


def _measured_faults(measured: MeasuredResponse) -> Faults:
    faults: Faults = {}
    if measured.line.event_id != measured.event_id:
        faults["line"] = ["This line belongs to another event."]
    if measured.spot.event_id != measured.event_id:
        faults["spot"] = ["This spot belongs to another event."]
    sentence = curve_fault(measured.curve)
    if sentence:
        faults["curve"] = [sentence]
    return faults


def curve_fault(curve: object) -> str:
    """What is wrong with a measured response as it is stored; "" if nothing."""
    lists: list[Any] = [curve.get(name) for name in CURVES] if isinstance(curve, dict) else []
    if not lists or not all(isinstance(each, list) for each in lists):
        return "A response has frequencies, levels and phases."
    hz, level, phase = lists
    if not 2 <= len(hz) <= MOST_POINTS:
        return f"A response has between 2 and {MOST_POINTS} points."
    if not len(hz) == len(level) == len(phase):
        return "Each frequency needs one level and one phase."
    if not all(_is_number(value) for each in lists for value in each):
        return "Some points are no numbers."
    if hz[0] <= 0 or any(after <= before for before, after in pairwise(hz)):
        return "The frequencies must rise from above 0."
    return ""


def _is_number(value: object) -> bool:
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and abs(value) < BEYOND_ALL  # neither infinite nor NaN passes
    )
