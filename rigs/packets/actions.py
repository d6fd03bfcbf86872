"""What people do with packets: ask for one, and tick what they saw."""

from functools import partial
from typing import Any

from django.db import transaction
from django.db.models import Max

from rigs.events.models import Event
from rigs.packets.builds import fill_waiting
from rigs.packets.compute import VERSION, fingerprint, to_plain
from rigs.packets.decisions import freeze_overrides
from rigs.packets.freeze import freeze_about, freeze_kit
from rigs.packets.models import Packet, Run, Tick
from rigs.packets.sections.blocks import to_tick
from rigs.packets.sections.dial_in import said_of
from rigs.packets.tasks import enqueue
from rigs.people.models import Person
from rigs.systems.describe import describe


class NotInPacket(ValueError):
    """The packet has no such card to tick; the text is for people."""


def request_packet(event: Event, person: Person | None) -> Packet:
    """Ask for the event's packet as things stand now.

    The same rig, kit, times and overrides as in the newest packet give that packet again; the
    same rig alone is not computed twice.
    """
    system = describe(event)
    with transaction.atomic():
        # One request at a time for each event: the second one finds the packet of the first.
        event = (
            Event.objects.select_for_update(of=("self",))
            .select_related("space__venue")
            .get(pk=event.pk)
        )
        run = _locked_run(fingerprint(system), to_plain(system))
        packet = _newest_or_new(event, run, person)
        _see_to_it(run)
    packet.refresh_from_db()
    return packet


def _locked_run(print_: str, description: object) -> Run:
    run, _ = Run.objects.get_or_create(
        fingerprint=print_, defaults={"description": description, "calc_version": VERSION}
    )
    # Held until the packet exists: a worker that finishes meanwhile waits, and then sees it.
    return Run.objects.select_for_update().get(pk=run.pk)


def _newest_or_new(event: Event, run: Run, person: Person | None) -> Packet:
    frozen = {
        "kit": freeze_kit(event),
        "about": freeze_about(event),
        "overrides": freeze_overrides(event),
    }
    newest = event.packets.order_by("-number").first()
    if newest and newest.run_id == run.pk and _has(newest, frozen):
        return newest
    last = event.packets.aggregate(last=Max("number"))["last"] or 0
    return Packet.objects.create(event=event, number=last + 1, run=run, asked_by=person, **frozen)


def _has(packet: Packet, frozen: dict[str, Any]) -> bool:
    return all(getattr(packet, field) == value for field, value in frozen.items())


def _see_to_it(run: Run) -> None:
    """Fill the packet at once where the run is done, else have it built."""
    if run.state == Run.State.DONE:
        fill_waiting(run)
        return
    if run.state == Run.State.FAILED:
        run.state, run.attempts, run.fault = Run.State.WAITING, 0, ""
        run.save(update_fields=["state", "attempts", "fault"])
    transaction.on_commit(partial(enqueue, run.pk))


def tick(packet: Packet, card: str, person: Person) -> Tick:
    """Say that a setting was seen on site as the packet has it. The first one to see it stays.

    Raises
    ------
    NotInPacket
    """
    thing = _to_tick(packet).get(card)
    if thing is None:
        raise NotInPacket("This packet has no such card. Reload the page: it may be out of date.")
    # Cards of packets of an earlier make have no mark, and only entries say something.
    fields = {"person": person, "mark": thing.get("mark", ""), "said": said_of(thing)}
    return Tick.objects.get_or_create(packet=packet, card=card, defaults=fields)[0]


def untick(packet: Packet, card: str) -> None:
    """Take a tick back."""
    Tick.objects.filter(packet=packet, card=card).delete()


def _to_tick(packet: Packet) -> dict[str, dict[str, Any]]:
    """What can be ticked, by its key."""
    return {thing["key"]: thing for section in packet.sections or () for thing in to_tick(section)}
