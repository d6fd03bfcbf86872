"""Calibrations: kept, renamed, replaced, removed while nothing uses them."""

from rigs.people.models import Person
from rigs.tuning.actions.base import keep, remove
from rigs.tuning.models import Calibration

TWICE = "There is a calibration of that name already."


def save_calibration(
    calibration: Calibration, seen: int | None, person: Person | None
) -> Calibration:
    """Keep a new calibration, or change one over the version that was seen."""
    return keep(calibration, seen, person, TWICE)


def remove_calibration(calibration: Calibration, seen: int) -> None:
    """Take a calibration away unless a recording uses it."""
    remove(calibration, seen, _in_use)


def _in_use(calibration: Calibration) -> str:
    used = calibration.recordings.count()
    many = f"{used} recordings use" if used > 1 else "A recording uses"
    return f"{many} {calibration}: it must stay. It can be renamed." if used else ""
