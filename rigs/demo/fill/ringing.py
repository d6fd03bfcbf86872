"""Ring-outs of two events at the meadow: a year ago, and this one half way."""

from typing import NamedTuple

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions import log_entry, place_notch, set_notches, set_up_ring_out
from rigs.systems.models import RingEntry, RingNotch, RingOut
from rigs.systems.queries import current_revision

RANG, CLEAR = RingEntry.Ended.RANG, RingEntry.Ended.CLEAR


class Notch(NamedTuple):
    """What rang, and how wide it was caught (Q)."""

    hz: float
    gain_db: float
    q: float
    microphone: str = ""


class Line(NamedTuple):
    """A line of the log."""

    microphone: str
    ended: str
    level_db: float
    hz: float | None = None
    note: str = ""


class Plan(NamedTuple):
    """A ring-out; with `set_up_only` its notches still wait to be set."""

    place: str
    outputs: list[int]
    notches: tuple[Notch, ...]
    log: tuple[Line, ...]
    most: int
    reserve: int
    waiting: bool = False


RING_OUTS = {
    "Harbour Lights": Plan(
        "Rack 2 control", [1, 2],
        (Notch(268, -6, 8.6), Notch(1220, -4, 8.6)),
        (
            Line("Compere", RANG, 2, 268),
            Line("Compere", RANG, 5, 1220, "after the first notch"),
            Line("Compere", CLEAR, 6.5),
        ),
        most=2, reserve=0,
    ),
    "Quayside Gala": Plan(
        "Rack 5 control", [1, 2, 3],
        (Notch(254, -6, 8.6, "Lectern"), Notch(1180, -4, 14.4, "Lead vocal")),
        (
            Line("Lectern", RANG, 1.5, 254),
            Line("Lectern", CLEAR, 6, note="with the notch"),
            Line("Lead vocal", RANG, 4.5, 1180),
        ),
        most=8, reserve=3, waiting=True,
    ),
}  # fmt: skip


def fill_ring_out(event: Event, person: Person) -> None:
    """Through the same doors as people use; nothing where the event had none."""
    plan = RING_OUTS.get(event.name)
    if plan is None:
        return
    place = event.processorplaces.get(name=plan.place)
    row = RingOut(
        event=event, processor_place=place, outputs=plan.outputs, notches=plan.most,
        reserve=plan.reserve,
    )  # fmt: skip
    set_up_ring_out(row, None, person)
    microphones = {one.name: one for one in event.stagemicrophones.all()}
    for one in plan.notches:
        notch = RingNotch(
            event=event, frequency_hz=one.hz, gain_db=one.gain_db, q=one.q,
            microphone=microphones.get(one.microphone), origin=RingNotch.Origin.HEARD,
        )  # fmt: skip
        place_notch(notch, person)
    for line in plan.log:
        entry = RingEntry(
            event=event, microphone=line.microphone, ended=line.ended, level_db=line.level_db,
            frequency_hz=line.hz, note=line.note,
        )  # fmt: skip
        log_entry(entry, person)
    if not plan.waiting:
        now = current_revision(event)
        set_notches(event, seen=now.number if now else 0, reason="Ring-out", person=person)
