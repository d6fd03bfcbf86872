"""Target curves: kept, changed, removed. A fit keeps a copy of its own."""

from rigs.people.models import Person
from rigs.tuning.actions.base import keep, remove
from rigs.tuning.models import TargetCurve

TWICE = "There is a target curve of that name already."


def save_target(curve: TargetCurve, seen: int | None, person: Person | None) -> TargetCurve:
    """Keep a new target curve, or change one over the version that was seen."""
    return keep(curve, seen, person, TWICE)


def remove_target(curve: TargetCurve, seen: int) -> None:
    """Take a target curve away, unless somebody changed it since."""
    remove(curve, seen)
