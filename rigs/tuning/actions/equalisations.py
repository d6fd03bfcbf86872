"""Equalisations: asked for, and taken into the processing when somebody says so."""

import dataclasses
import hashlib
import json
from datetime import datetime
from typing import Any

from django.db import transaction

from rigs.people.models import Person
from rigs.systems.actions import revise
from rigs.systems.faults import NotSaved, refuse
from rigs.systems.models import ProcessorPlace, Revision
from rigs.systems.plans import FilterPlan, OutputPlan, plans_of
from rigs.systems.queries import current_revision
from rigs.tuning import tasks
from rigs.tuning.analyse.fitting import filters_of, gain_change_db, is_graphic
from rigs.tuning.models import Equalisation
from rigs.tuning.queries import box_types, taken_since

BY_HAND = (
    "The bands of a graphic equaliser are set by hand, from the table: they are none of the "
    "output's filters."
)


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


def take(
    row: Equalisation,
    *,
    seen: int,
    reason: str,
    person: Person | None,
    with_gain: bool = False,
) -> Revision:
    """Make the next revision, in which the outputs have the fit's filters besides their own.

    `with_gain`: the outputs' gain makes up for the level that the filters take or give.

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
            changed = dataclasses.replace(now, filters=now.filters + added)
            plans[now.key] = _with_gain(stored, changed) if with_gain else changed
        revision = revise(place.event, plans.values(), seen=seen, reason=reason, person=person)
        stored.accepted_by, stored.accepted_as = person, revision
        stored.save(update_fields=["accepted_by", "accepted_as"])
    return revision


def not_in_what_was_heard(place: ProcessorPlace, numbers: list[int], when: datetime | None) -> str:
    """A sentence where an output has filters of a fit that was taken after a recording: to fit
    again by that recording would set them twice. "" where there are none."""
    plans = plans_of(current_revision(place.event)) if when else {}
    for number in numbers:
        now = plans.get((place.pk, number))
        for row in taken_since(place, number, when) if now and when else ():
            if set(filters_of(row.result or {})) <= set(now.filters if now else ()):
                return (
                    f"Fit {row.pk} went into output {number} after these spots were recorded, and "
                    "would be set twice. Record them again, or go back to the revision before it."
                )
    return ""


def _with_gain(row: Equalisation, plan: OutputPlan) -> OutputPlan:
    if plan.gain_db is None:
        raise NotSaved(
            {
                "with_gain": [
                    f"Nobody said the gain of output {plan.number}: it can't be changed by a "
                    "difference. Enter it first, or take the filters alone."
                ]
            }
        )
    return dataclasses.replace(plan, gain_db=round(plan.gain_db + gain_change_db(row.result), 1))


def carry(
    row: Equalisation,
    place: ProcessorPlace,
    numbers: list[int],
    *,
    seen: int,
    reason: str,
    person: Person | None,
) -> Revision:
    """Start an event with the filters that an earlier one took at the same venue.

    The room's may go to any boxes; those for the boxes only to outputs with the same
    loudspeakers and no others.

    Raises
    ------
    ChangedMeanwhile
        Somebody made another revision since `seen`.
    NotSaved
        They belong to other boxes, or there is no room for them on an output.
    """
    if not numbers:
        raise NotSaved({"outputs": ["Choose one output at least."]})
    with transaction.atomic():
        event = place.event
        if row.event.space.venue_id != event.space.venue_id or row.accepted_as_id is None:
            raise NotSaved({"": ["These filters were not taken at this venue."]})
        if row.part == Equalisation.Part.BOXES:
            refuse(_other_boxes(row, place, numbers))
        added = filters_of(row.result or {})
        plans = plans_of(current_revision(event))
        for number in numbers:
            now = plans.get((place.pk, number), OutputPlan(place.pk, number))
            refuse(_no_room(place, now, added))
            plans[now.key] = dataclasses.replace(now, filters=now.filters + added)
        return revise(event, plans.values(), seen=seen, reason=reason, person=person)


def _other_boxes(
    row: Equalisation, place: ProcessorPlace, numbers: list[int]
) -> dict[str, list[str]]:
    """Every output must drive what one of the fit's outputs drives, and nothing else."""
    types = box_types([row.processor_place_id, place.pk])
    then = [types.get((row.processor_place_id, number), set()) for number in row.outputs]
    faults = []
    for number in numbers:
        now = types.get((place.pk, number), set())
        if not now or now not in then:
            known = ", ".join(sorted(set().union(*then))) or "boxes that nobody knows"
            faults.append(
                f"These filters are for {known}, and output {number} drives "
                f"{', '.join(sorted(now)) or 'nothing'}. Filters for boxes are never carried over "
                "to others: measure these."
            )
    return {"outputs": faults} if faults else {}


def _filters_to_take(row: Equalisation) -> tuple[FilterPlan, ...]:
    if row.state != Equalisation.State.DONE or row.result is None:
        raise NotSaved({"": ["This fit is not done: there is nothing to take yet."]})
    if is_graphic(row.inputs):
        raise NotSaved({"": [BY_HAND]})
    if row.accepted_as is not None:
        raise NotSaved({"": [f"These filters are in {row.accepted_as} already."]})
    found = filters_of(row.result)
    if not found:
        raise NotSaved({"": ["This fit has no filters: there is nothing to take."]})
    return found


def _no_room(
    place: ProcessorPlace, plan: OutputPlan, added: tuple[FilterPlan, ...]
) -> dict[str, list[str]]:
    most = place.processor.filters_per_output
    used = plan.filters_used
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
