"""Target curves: kept, changed, removed. A fit keeps a copy of its own."""

from django.db import IntegrityError, transaction

from rigs.people.models import Person
from rigs.systems.faults import NotSaved, faults_of, refuse
from rigs.tuning.models import TargetCurve
from rigs.versions import ChangedMeanwhile, save_over

GONE = "Somebody removed it while you had it open. Add it anew."
TWICE = "There is a target curve of that name already."


def save_target(curve: TargetCurve, seen: int | None, person: Person | None) -> TargetCurve:
    """Keep a new target curve, or change one over the version that was seen."""
    refuse(faults_of(curve))
    try:
        with transaction.atomic():
            if curve.pk is None:
                curve.changed_by = person
                curve.save()
            else:
                save_over(curve, seen or 0, person)
    except TargetCurve.DoesNotExist as gone:
        raise NotSaved({"": [GONE]}) from gone
    except IntegrityError as refusal:
        raise NotSaved({"name": [TWICE]}) from refusal
    return curve


def remove_target(curve: TargetCurve, seen: int) -> None:
    """Take a target curve away, unless somebody changed it since."""
    with transaction.atomic():
        stored = TargetCurve.objects.select_for_update().filter(pk=curve.pk).first()
        if stored is None:
            return
        if stored.version != seen:
            raise ChangedMeanwhile(stored)
        stored.delete()
