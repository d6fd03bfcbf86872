"""Notch plans: asked for, and placed on the sheet when somebody says so."""

import hashlib
import json
from typing import Any

from django.db import transaction

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions import place_notch
from rigs.systems.faults import NotSaved
from rigs.systems.models import RingNotch, StageMicrophone
from rigs.tuning import tasks
from rigs.tuning.analyse.looping import plan_of
from rigs.tuning.models import NotchPlan


def ask_notch_plan(event: Event, frozen: dict[str, Any], person: Person | None) -> NotchPlan:
    """Keep the inputs and queue the plan. The same inputs are one row."""
    mark = hashlib.sha256(json.dumps([event.pk, frozen], sort_keys=True).encode()).hexdigest()
    with transaction.atomic():
        Event.objects.select_for_update(no_key=True, of=("self",)).get(pk=event.pk)
        known = NotchPlan.objects.filter(event=event, fingerprint=mark)
        row = known.exclude(state=NotchPlan.State.FAILED).first()
        if row is None:
            row = NotchPlan.objects.create(
                event=event, inputs=frozen, fingerprint=mark, asked_by=person
            )
            transaction.on_commit(lambda: tasks.enqueue_notch_plan(row.pk))
    return row


def place_plan(row: NotchPlan, person: Person | None) -> int:
    """Put all notches of a plan on the sheet, or none; how many.

    Raises
    ------
    NotSaved
        Not done, no notches, or the sheet has no room for them.
    """
    if row.state != NotchPlan.State.DONE or row.result is None:
        raise NotSaved({"": ["This plan is not done: there is nothing to place yet."]})
    found = plan_of(row.result)
    if not found.notches:
        raise NotSaved({"": ["This plan has no notches."]})
    names = [one["name"] for one in row.inputs["recordings"]]
    only = StageMicrophone.objects.filter(event=row.event, name=names[0]).first()
    with transaction.atomic():
        for one in found.notches:
            part = one.filter
            place_notch(
                RingNotch(
                    event=row.event,
                    frequency_hz=part.frequency_hz,
                    gain_db=part.gain_db,
                    q=part.q or 1.0,
                    microphone=only if len(names) == 1 else None,
                    origin=RingNotch.Origin.MEASURED,
                    adds_db=one.adds_db,
                ),
                person,
            )
    return len(found.notches)
