"""Changes to a ring-out: what it works with, notches that are placed, and the log."""

import dataclasses

from django.db import transaction

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions.base import changing, save
from rigs.systems.actions.processing import revise
from rigs.systems.faults import NotSaved, faults_of, refuse
from rigs.systems.filters import free_filters
from rigs.systems.models import (
    OutputFilter,
    ProcessorPlace,
    Revision,
    RingEntry,
    RingNotch,
    RingOut,
)
from rigs.systems.plans import FilterPlan, OutputPlan, plans_of
from rigs.systems.queries import current_revision

NO_SET_UP = "Say first which outputs get the notches."


def set_up_ring_out(row: RingOut, seen: int | None, person: Person | None) -> RingOut:
    """Save which outputs get notches, how many, and how many stay free for the show."""
    with changing(row):
        faults = faults_of(row)
        most = row.processor_place.processor.outputs
        wrong = [str(number) for number in row.outputs if number > most]
        if wrong:
            faults.setdefault("outputs", []).append(
                f"{row.processor_place} has {most} outputs: there is no output {', '.join(wrong)}."
            )
        placed = RingNotch.objects.filter(event=row.event).count()
        if row.notches < placed:
            faults.setdefault("notches", []).append(
                f"{placed} notches are placed already: no fewer can there be."
            )
        room = room_for_notches(row.processor_place, row.outputs)
        if room is not None and row.notches > room:
            faults.setdefault("notches", []).append(
                f"{row.processor_place} has {row.processor_place.processor.filters_per_output} "
                f"filters for each output, and others are in use: {room} notches at most."
                if room
                else f"{row.processor_place} has no filter free in these outputs: choose others, "
                "or take some off the equalisation."
            )
        refuse(faults)
        save(row, seen, person)
    return row


def room_for_notches(place: ProcessorPlace, outputs: list[int]) -> int | None:
    """How many these outputs can hold, those that are set already among them; None: unknown."""
    free = free_filters(place, outputs)
    already = RingNotch.objects.filter(event=place.event, revision__isnull=False).count()
    return None if free is None else free + already


def place_notch(notch: RingNotch, person: Person | None, *, from_reserve: bool = False) -> None:
    """Put a notch on the sheet; nothing is set in the processing yet.

    Raises
    ------
    NotSaved
        No ring-out is set up, its figures are wrong, or no notch is left to place.
    """
    with changing(notch):
        ring_out = RingOut.objects.filter(event=notch.event).first()
        if ring_out is None:
            raise NotSaved({"": [NO_SET_UP]})
        refuse(faults_of(notch))
        refuse(_none_left(ring_out, from_reserve))
        notch.made_by, notch.from_reserve = person, from_reserve
        notch.changed_by = person
        notch.save()


def _none_left(ring_out: RingOut, from_reserve: bool) -> dict[str, list[str]]:
    placed = RingNotch.objects.filter(event=ring_out.event).count()
    if placed >= ring_out.notches:
        return {
            "": [
                f"All {ring_out.notches} notches are placed. Take one off, or turn the microphone "
                "down: more notches would cost more sound than they buy."
            ]
        }
    if placed >= ring_out.notches - ring_out.reserve and not from_reserve:
        return {
            "": [
                f"{placed} notches are placed; the other {ring_out.notches - placed} are kept free "
                "for the show. Move a microphone instead, or take one from the reserve."
            ]
        }
    return {}


def take_notch_off(notch: RingNotch) -> None:
    """Take a notch off the sheet.

    Raises
    ------
    NotSaved
        It is in the processing: it must come off there too.
    """
    with changing(notch):
        stored = RingNotch.objects.select_related("revision").filter(pk=notch.pk).first()
        if stored is None:
            return
        if stored.revision is not None and _still_set(stored):
            raise NotSaved(
                {
                    "": [
                        f"The {stored} is set since {stored.revision}. Take it off the outputs' "
                        "filters first, else it stays there unseen."
                    ]
                }
            )
        stored.delete()


def _still_set(notch: RingNotch) -> bool:
    now = current_revision(notch.event)
    if now is None:
        return False
    same = {"kind": "peak", "frequency_hz": notch.frequency_hz, "gain_db": notch.gain_db}
    return OutputFilter.objects.filter(output__revision=now, **same).exists()


def set_notches(event: Event, *, seen: int, reason: str, person: Person | None) -> Revision:
    """Make the next revision, in which the ring-out's outputs have the notches not set yet.

    Raises
    ------
    ChangedMeanwhile
        Somebody made another revision since `seen`.
    NotSaved
        Nothing is waiting, or an output has no room.
    """
    with transaction.atomic():
        ring_out = (
            RingOut.objects.select_for_update(of=("self",))
            .select_related("processor_place__processor")
            .filter(event=event)
            .first()
        )
        waiting = list(RingNotch.objects.filter(event=event, revision__isnull=True))
        if ring_out is None or not waiting:
            raise NotSaved({"": ["No notch is waiting to be set."]})
        plans = plans_of(current_revision(event))
        added = tuple(
            FilterPlan("peak", one.frequency_hz, gain_db=one.gain_db, q=one.q) for one in waiting
        )
        for number in ring_out.outputs:
            key = (ring_out.processor_place_id, number)
            now = plans.get(key, OutputPlan(*key))
            refuse(_no_room(ring_out, now, len(added)))
            plans[key] = dataclasses.replace(now, filters=now.filters + added)
        revision = revise(event, plans.values(), seen=seen, reason=reason, person=person)
        RingNotch.objects.filter(pk__in=[one.pk for one in waiting]).update(revision=revision)
    return revision


def _no_room(ring_out: RingOut, plan: OutputPlan, more: int) -> dict[str, list[str]]:
    most = ring_out.processor_place.processor.filters_per_output
    used = plan.filters_used
    if most is None or used + more <= most:
        return {}
    return {
        "": [
            f"{ring_out.processor_place}, output {plan.number} has room for {max(0, most - used)} "
            f"more of its {most} filters, and {more} notches wait. Take some off, or off the "
            "equalisation."
        ]
    }


def log_entry(entry: RingEntry, person: Person | None) -> RingEntry:
    """Write a line of the log; it is never changed. Where it rang, its level is its margin."""
    entry.made_by = person
    if entry.ended == RingEntry.Ended.RANG and entry.margin_db is None:
        entry.margin_db = entry.level_db
    refuse(faults_of(entry))
    entry.save()
    return entry
