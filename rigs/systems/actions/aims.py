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
from rigs.systems.actions.lines import save_line
from rigs.systems.actions.parts import save_placement
from rigs.systems.describe import fingerprint, freeze, to_plain
from rigs.systems.describe.aiming import DIGITS, freedoms_of
from rigs.systems.faults import NotSaved
from rigs.systems.models import AimProposal, DriveLine, Placement

CHANGED = (
    "The rig, its space or the event has changed since this was worked out, so that it may not "
    "fit any more. Nothing was changed: ask for a new proposal."
)
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
    boxes = {box.name: box for box in event.placements.all()}
    lines = {line.name: line for line in event.drivelines.all()}
    touched: dict[tuple[str, str], Placement | DriveLine] = {}
    for change in changes:
        name, quantity = change["name"], change["quantity"]
        after = round(change["after"], DIGITS[quantity])
        if quantity in ("level_db", "delay_ms"):
            line = lines[name]
            touched["line", name] = line
            if quantity == "delay_ms":
                line.delay_ms = after
            elif line.processor_gain_db is not None:
                line.processor_gain_db = round(line.processor_gain_db + after, 2)
        else:
            touched["box", name] = boxes[name]
            setattr(boxes[name], quantity, after)
    for row in touched.values():
        if isinstance(row, Placement):
            save_placement(row, row.version, person)
        else:
            save_line(row, list(row.links.all()), row.version, person)
