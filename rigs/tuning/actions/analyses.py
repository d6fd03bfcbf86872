"""Analyses, asked for: by whoever keeps a recording, or again."""

from django.db import transaction

from rigs.people.models import Person
from rigs.tuning import tasks
from rigs.tuning.analyse.recorded import CALC_VERSION, fingerprint
from rigs.tuning.models import Analysis, Recording


def ask_analysis(recording: Recording, person: Person | None) -> Analysis:
    """Queue the analysis of a recording as it is set now. One that is there is not made again;
    one that failed is tried again."""
    with transaction.atomic():
        row, new = Analysis.objects.select_for_update().get_or_create(
            fingerprint=fingerprint(recording),
            defaults={
                "recording": recording,
                "calc_version": CALC_VERSION,
                "asked_by": person,
            },
        )
        if row.state == Analysis.State.FAILED:
            row.state, row.attempts, row.progress, row.fault = Analysis.State.WAITING, 0, 0, ""
            row.asked_by = person
            row.save(update_fields=["state", "attempts", "progress", "fault", "asked_by"])
            new = True
        if new:
            transaction.on_commit(lambda: tasks.enqueue_analysis(row.pk))
    return row
