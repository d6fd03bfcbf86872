"""Changes to what processors are set to: each makes the next revision, whole or not at all."""

import dataclasses
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from django.db import transaction

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.actions.output_faults import output_faults
from rigs.systems.faults import Faults, NotSaved, refuse
from rigs.systems.models import Output, OutputFilter, ProcessorPlace, Revision
from rigs.systems.plans import FilterPlan, OutputKey, OutputPlan, plans_of
from rigs.versions import ChangedMeanwhile

WHY = "Say why: the next person will ask."


def revise(
    event: Event,
    outputs: Iterable[OutputPlan],
    *,
    seen: int,
    reason: str,
    person: Person | None,
) -> Revision:
    """Make the next revision of an event, which says just this.

    `seen` is the number of the revision that the person had before them, 0 where there was none.

    Raises
    ------
    ChangedMeanwhile
        Somebody made another revision since; its `row` is that one.
    NotSaved
        No reason, nothing differs, or an output cannot be set so. Faults of an output stand under
        "" with its name.
    """
    with _next_revision(event, seen, reason) as current:
        return _store(event, current, list(outputs), reason, person)


def save_output(
    output: Output,
    filters: Sequence[OutputFilter],
    *,
    seen: int,
    reason: str,
    person: Person | None,
) -> Revision:
    """Make the next revision, in which one output differs; both rows are unsaved ones.

    Faults stand under the output's field, or "filters.N.field" for the Nth filter from 0.
    Raises as `revise` does.
    """
    place = output.processor_place
    event = place.event
    with _next_revision(event, seen, reason) as current:
        plan = OutputPlan.of(output, filters)
        refuse(output_faults(plan, place))
        plans = plans_of(current) | {plan.key: plan}
        return _store(event, current, list(plans.values()), reason, person)


def change_outputs(
    event: Event,
    changes: Mapping[OutputKey, Mapping[str, Any]],
    *,
    seen: int,
    reason: str,
    person: Person | None,
) -> Revision:
    """Make the next revision, in which gain, delay or polarity of some outputs differ.

    An output that nobody described yet is described by what changes. Raises as `revise` does.
    """
    with _next_revision(event, seen, reason) as current:
        plans = plans_of(current)
        for key, fields in changes.items():
            now = plans.get(key, OutputPlan(*key))
            plans[key] = dataclasses.replace(now, **fields)
        return _store(event, current, list(plans.values()), reason, person)


def go_back(revision: Revision, *, seen: int, reason: str, person: Person | None) -> Revision:
    """Make the next revision say what an earlier one said. Raises as `revise` does."""
    event = revision.event
    with _next_revision(event, seen, reason) as current:
        plans = list(plans_of(revision).values())
        return _store(event, current, plans, reason, person)


@contextmanager
def _next_revision(event: Event, seen: int, reason: str) -> Iterator[Revision | None]:
    """The current revision under the event's lock, if it is still the one that was seen."""
    if not reason.strip():
        raise NotSaved({"reason": [WHY]})
    with transaction.atomic():
        Event.objects.select_for_update(no_key=True, of=("self",)).get(pk=event.pk)
        current = queries.current_revision(event)
        if current is not None and current.number != seen:
            raise ChangedMeanwhile(current, event.space.venue.zone)
        yield current


def _store(
    event: Event,
    current: Revision | None,
    plans: Sequence[OutputPlan],
    reason: str,
    person: Person | None,
) -> Revision:
    before = plans_of(current)
    after = {plan.key: plan for plan in plans}
    if len(after) < len(plans):
        raise NotSaved({"": ["One output is described twice."]})
    if current is not None and before == after:
        raise NotSaved({"": [f"Nothing differs from {current}: there is nothing to save."]})
    changed = [plan for key, plan in after.items() if before.get(key) != plan]
    refuse(_named_faults(event, changed))
    refuse(_reason_fault(reason))
    revision = Revision.objects.create(
        event=event,
        number=current.number + 1 if current else 1,
        reason=reason.strip(),
        made_by=person,
    )
    _fill(revision, plans)
    return revision


def _reason_fault(reason: str) -> Faults:
    most = Revision._meta.get_field("reason").max_length or 0
    if len(reason.strip()) <= most:
        return {}
    return {"reason": [f"Say it in at most {most} characters."]}


def _named_faults(event: Event, plans: Iterable[OutputPlan]) -> Faults:
    """Why outputs cannot be set so, each sentence with the output's name."""
    places = {
        place.pk: place
        for place in ProcessorPlace.objects.filter(event=event).select_related("processor")
    }
    sentences = []
    for plan in plans:
        place = places.get(plan.place)
        if place is None:
            return {"": ["One of these processors is not in this rig any more."]}
        for told in output_faults(plan, place).values():
            sentences += [f"{place}, output {plan.number}: {sentence}" for sentence in told]
    return {"": sentences} if sentences else {}


def _fill(revision: Revision, plans: Sequence[OutputPlan]) -> None:
    """All outputs in one insert, all filters in another."""
    rows = Output.objects.bulk_create([plan.row(revision) for plan in plans])
    OutputFilter.objects.bulk_create(
        [
            wanted.row(row, position)
            for row, plan in zip(rows, plans, strict=True)
            for position, wanted in enumerate(plan.filters, start=1)
        ]
    )


__all__ = ["FilterPlan", "OutputPlan", "change_outputs", "go_back", "revise", "save_output"]
