"""Calibrations: kept, renamed, replaced, removed while nothing uses them."""

from django.db import IntegrityError, transaction

from rigs.people.models import Person
from rigs.systems.faults import NotSaved, faults_of, refuse
from rigs.tuning.models import Calibration
from rigs.versions import ChangedMeanwhile, save_over


def save_calibration(
    calibration: Calibration, seen: int | None, person: Person | None
) -> Calibration:
    """Keep a new calibration, or change one over the version that was seen."""
    refuse(faults_of(calibration))
    try:
        with transaction.atomic():
            if calibration.pk is None:
                calibration.changed_by = person
                calibration.save()
            else:
                save_over(calibration, seen or 0, person)
    except Calibration.DoesNotExist as gone:
        raise NotSaved({"": ["Somebody removed it while you had it open. Add it anew."]}) from gone
    except IntegrityError as refusal:
        raise NotSaved({"name": ["There is a calibration of that name already."]}) from refusal
    return calibration


def remove_calibration(calibration: Calibration, seen: int) -> None:
    """Take a calibration away unless a recording uses it."""
    with transaction.atomic():
        stored = Calibration.objects.select_for_update().filter(pk=calibration.pk).first()
        if stored is None:
            return
        used = stored.recordings.count()
        if used:
            many = f"{used} recordings use" if used > 1 else "A recording uses"
            raise NotSaved({"": [f"{many} {stored}: it must stay. It can be renamed."]})
        if stored.version != seen:
            raise ChangedMeanwhile(stored)
        stored.delete()
