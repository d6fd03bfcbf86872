"""Asking for a proposal, and accepting it: by the same actions as any other change."""

from collections.abc import Sequence
from dataclasses import asdict
from functools import partial
from typing import Any

from django.db import transaction
from django.utils import timezone

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries, tasks
from rigs.systems.actions.parts import save_placement
from rigs.systems.actions.processing import change_outputs
from rigs.systems.describe import fingerprint, freeze, to_plain
from rigs.systems.describe.aiming import DIGITS, freedoms_of
from rigs.systems.faults import NotSaved
from rigs.systems.models import AimProposal, Placement
from rigs.systems.plans import OutputKey, plans_of

CHANGED = (
    "The rig, its space or the event has changed since this was worked out, so that it may not "
    "fit any more. Nothing was changed: ask for a new proposal."
)
REASON = "Aim and trim accepted"
OF_AN_OUTPUT = ("level_db", "delay_ms")
NOTHING_TO_MOVE = "Nothing may move: give at least one bound above 0 that something can follow."


def ask_for_aim(
    event: Event,
    names: Sequence[str],
    bounds: dict[str, float],
    *,
    together: bool,
    words: str,
    person: Person,
) -> AimProposal:
    """Freeze the rig and have the search done.

    Raises
    ------
    NotSaved
        Nothing of what was chosen can move.
    """
    system = freeze(event)
    freedoms = freedoms_of(system, names, bounds, together)
    if not freedoms:
        raise NotSaved({"": [NOTHING_TO_MOVE]})
    with transaction.atomic():
        proposal = AimProposal.objects.create(
            event=event,
            fingerprint=fingerprint(system),
            description=to_plain(system),
            freedoms=[asdict(freedom) for freedom in freedoms],
            asked_words=words,
            asked_by=person,
        )
        transaction.on_commit(partial(tasks.enqueue, proposal.pk))
    return proposal


def accept_aim(proposal: AimProposal, person: Person) -> AimProposal:
    """Apply a proposal whole, if the rig still is the one that it was made for.

    Raises
    ------
    NotSaved
        The rig has changed, the proposal is not ready or was accepted already.
    """
    with transaction.atomic():
        Event.objects.select_for_update(no_key=True, of=("self",)).get(pk=proposal.event_id)
        stored = AimProposal.objects.select_for_update(of=("self",)).get(pk=proposal.pk)
        if stored.accepted_at:
            raise NotSaved({"": [f"{stored.accepted_by} has accepted this already."]})
        if stored.state != AimProposal.State.DONE or stored.result is None:
            raise NotSaved({"": ["This proposal is not ready yet."]})
        event = queries.rig(stored.event_id)
        if fingerprint(freeze(event)) != stored.fingerprint:
            raise NotSaved({"": [CHANGED]})
        _apply(event, stored.result["changes"], person)
        stored.accepted_by, stored.accepted_at = person, timezone.now()
        stored.save(update_fields=["accepted_by", "accepted_at"])
    return stored


def _apply(event: Event, changes: Sequence[dict[str, Any]], person: Person) -> None:
    """Moved boxes are saved one by one; all levels and delays are one new revision."""
    boxes = {box.name: box for box in event.placements.all()}
    touched: dict[str, Placement] = {}
    for change in changes:
        name, quantity = change["name"], change["quantity"]
        if quantity not in OF_AN_OUTPUT:
            touched[name] = boxes[name]
            setattr(boxes[name], quantity, round(change["after"], DIGITS[quantity]))
    for box in touched.values():
        save_placement(box, box.version, person)
    outputs = _changed_outputs(event, changes)
    if outputs:
        current = queries.current_revision(event)
        seen = current.number if current else 0
        change_outputs(event, outputs, seen=seen, reason=REASON, person=person)


def _changed_outputs(
    event: Event, changes: Sequence[dict[str, Any]]
) -> dict[OutputKey, dict[str, float]]:
    """What changes of which output; lines on one output say the same of it."""
    lines = {line.name: line for line in event.drivelines.all()}
    now = plans_of(queries.current_revision(event))
    found: dict[OutputKey, dict[str, float]] = {}
    for change in changes:
        line = lines.get(change["name"])
        quantity = change["quantity"]
        if quantity not in OF_AN_OUTPUT or line is None:
            continue
        if line.processor_place_id is None or line.output is None:
            continue
        key = (line.processor_place_id, line.output)
        after = round(change["after"], DIGITS[quantity])
        if quantity == "delay_ms":
            found.setdefault(key, {})["delay_ms"] = after
        elif key in now and (gain := now[key].gain_db) is not None:
            found.setdefault(key, {})["gain_db"] = round(gain + after, 2)
    return found
