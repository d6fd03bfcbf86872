"""Equalisations: asked for, and taken into the processing when somebody says so."""

import dataclasses
import hashlib
import json
from typing import Any

from django.db import transaction

from rigs.people.models import Person
from rigs.systems.actions import revise
from rigs.systems.faults import NotSaved, refuse
from rigs.systems.models import ProcessorPlace, Revision
from rigs.systems.plans import FilterPlan, OutputPlan, plans_of
from rigs.systems.queries import current_revision
from rigs.tuning import tasks
from rigs.tuning.analyse.fitting import filters_of
from rigs.tuning.models import Equalisation

PASSES = ("high-pass", "low-pass")


def ask_fit(
    place: ProcessorPlace,
    outputs: list[int],
    part: str,
    frozen: dict[str, Any],
    person: Person | None,
) -> Equalisation:
    """Keep the inputs and queue the fit. The same inputs for the same outputs are one row."""
    if not outputs:
        raise NotSaved({"outputs": ["Choose one output at least."]})
    text = json.dumps([place.pk, sorted(outputs), part, frozen], sort_keys=True)
    mark = hashlib.sha256(text.encode()).hexdigest()
    with transaction.atomic():
        # The place's lock: two people who ask for the same at once get one row.
        ProcessorPlace.objects.select_for_update().get(pk=place.pk)
        known = Equalisation.objects.filter(event_id=place.event_id, fingerprint=mark)
        row = known.exclude(state=Equalisation.State.FAILED).first()
        if row is None:
            row = Equalisation.objects.create(
                event_id=place.event_id,
                processor_place=place,
                outputs=sorted(outputs),
                part=part,
                inputs=frozen,
                fingerprint=mark,
                asked_by=person,
            )
            transaction.on_commit(lambda: tasks.enqueue_fit(row.pk))
    return row


def take(row: Equalisation, *, seen: int, reason: str, person: Person | None) -> Revision:
    """Make the next revision, in which the outputs have the fit's filters besides their own.

    Raises
    ------
    ChangedMeanwhile
        Somebody made another revision since `seen`.
    NotSaved
        Not done, taken already, no filters, or no room for them on an output.
    """
    with transaction.atomic():
        stored = Equalisation.objects.select_for_update().get(pk=row.pk)
        place = ProcessorPlace.objects.select_related("processor", "event__space__venue").get(
            pk=stored.processor_place_id
        )
        added = _filters_to_take(stored)
        plans = plans_of(current_revision(place.event))
        for number in stored.outputs:
            now = plans.get((place.pk, number), OutputPlan(place.pk, number))
            refuse(_no_room(place, now, added))
            plans[now.key] = dataclasses.replace(now, filters=now.filters + added)
        revision = revise(place.event, plans.values(), seen=seen, reason=reason, person=person)
        stored.accepted_by, stored.accepted_as = person, revision
        stored.save(update_fields=["accepted_by", "accepted_as"])
    return revision


def _filters_to_take(row: Equalisation) -> tuple[FilterPlan, ...]:
    if row.state != Equalisation.State.DONE or row.result is None:
        raise NotSaved({"": ["This fit is not done: there is nothing to take yet."]})
    if row.accepted_as is not None:
        raise NotSaved({"": [f"These filters are in {row.accepted_as} already."]})
    found = filters_of(row.result)
    if not found:
        raise NotSaved({"": ["This fit has no filters: there is nothing to take."]})
    return found


def _no_room(
    place: ProcessorPlace, plan: OutputPlan, added: tuple[FilterPlan, ...]
) -> dict[str, list[str]]:
    """High and low passes take no place among an output's filters."""
    most = place.processor.filters_per_output
    used = sum(part.kind not in PASSES for part in plan.filters)
    if most is None or used + len(added) <= most:
        return {}
    free = max(0, most - used)
    return {
        "": [
            f"{place}, output {plan.number} has room for {free} more of its {most} filters; this "
            f"fit needs {len(added)}. Fit again with at most {free}, or take filters off first."
            if free
            else f"All {most} filters of {place}, output {plan.number} are in use. "
            "Take some off first, then fit again."
        ]
    }
