"""Loops of an event's stage microphones, made up: a sweep from the system, heard on stage.

Beside what each microphone hears stands what was played, on a second channel: one clock for both.
"""

from typing import NamedTuple

import numpy as np
from scipy.signal import butter, oaconvolve, sosfilt

from rigs.demo.fill.recordings import RATE_HZ, SIGNAL, Samples, arrival, noise, wav_of
from rigs.events.models import Event
from rigs.jobs.claims import claim
from rigs.people.models import Person
from rigs.systems.rung import ringing
from rigs.tuning import notch_plans, queries
from rigs.tuning.actions import keep_recording
from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.forms import PlanForm
from rigs.tuning.models import NotchPlan, Recording
from rigs.tuning.signals import played


class Loops(NamedTuple):
    """Which microphones were measured, from which boxes, and their lines."""

    microphones: tuple[str, ...]
    boxes: tuple[str, ...]
    lines: tuple[str, ...]


LOOPS = {
    "Quayside Gala": Loops(
        ("Lead vocal", "Vocal left"),
        ("Wedge 1", "Wedge 2", "Wedge 3"),
        ("Wedge 1", "Wedge 2", "Wedge 3"),
    )
}
LOUDEST_DB = -6.0
"""dB. What comes back at the frequency at which most does, as set for the show."""

HEARS_HZ = (90.0, 9000.0)
REST_S = 2.0
PLAYED_SHARE = 0.5


def fill_loops(event: Event, person: Person) -> None:
    """Record the loops and plan notches from them; nothing where the event has none."""
    plan = LOOPS.get(event.name)
    if plan is None:
        return
    lines = list(event.drivelines.filter(name__in=plan.lines))
    boxes = list(event.placements.filter(name__in=plan.boxes))
    microphones = list(event.stagemicrophones.filter(name__in=plan.microphones).order_by("name"))
    band = butter(2, HEARS_HZ, "band", fs=RATE_HZ, output="sos")
    ways = [
        sosfilt(band, np.sum([arrival(box, one, 7 * at) for box in boxes], axis=0))
        for at, one in enumerate(microphones)
    ]
    loudest = max(float(np.abs(np.fft.rfft(way)).max()) for way in ways)
    for at, (one, way) in enumerate(zip(microphones, ways, strict=True)):
        heard = _beside_what_was_played(way * 10 ** (LOUDEST_DB / 20) / loudest, 500 + at)
        row = Recording(
            event=event, microphone=one, content=Recording.Content.SWEEP, played=played(SIGNAL),
            source=Recording.Source.UPLOADED, reference_channel=2, note="As set for the show",
        )  # fmt: skip
        keep_recording(row, wav_of(heard), lines, person=person)
    _planned(event, person)


def _beside_what_was_played(way: Samples, seed: int) -> Samples:
    sweep = signal_of(played(SIGNAL)).samples
    sent = np.concatenate([sweep, np.zeros(round(REST_S * RATE_HZ))]) * PLAYED_SHARE
    heard = oaconvolve(sent, way)[: len(sent)] + 0.05 * noise(len(sent), seed)
    rows: Samples = np.column_stack([heard, sent])
    return rows


def _planned(event: Event, person: Person) -> None:
    loops, now = queries.loop_recordings(event), ringing(event)
    asked = {"recordings": [str(row.pk) for row in loops], "offset_db": "0", "placed": ""}
    form = PlanForm(asked, event=event, loops=loops, now=now)
    if form.cannot or not form.is_valid():
        raise ValueError(f"the demo's plan was refused: {form.cannot} {form.errors.as_text()}")
    held = claim(NotchPlan, form.ask(person).pk, "looking for rings")
    if held:
        notch_plans.work(held)
