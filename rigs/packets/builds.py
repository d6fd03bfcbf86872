"""Building a run: compute, then freeze the result into every packet that waits for it."""

import time
from functools import partial
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models.functions import Now
from django.utils import timezone

from rigs.jobs.claims import MOST_ATTEMPTS, Claim, ClaimLost, Steps
from rigs.jobs.work import Words, work
from rigs.packets.compute import (
    CannotCompute,
    Prediction,
    compute,
    findings_of,
    prediction_from_plain,
    read_description,
    to_plain,
)
from rigs.packets.decisions import judged
from rigs.packets.models import Packet, Run
from rigs.packets.sections import make_sections, take_pictures_out

WORDS = Words(
    too_long="The sums took too long and were stopped. Make the audience areas smaller or fewer, "
    "then ask again.",
    broke="The build broke on a fault of ours, not of the rig. Ask again; if it breaks again, tell "
    "your administrator: the log of the worker has the details.",
    died_too_often=f"The worker stopped in the middle of this build {MOST_ATTEMPTS} times. The rig "
    "may be too large for its memory: ask again with fewer or smaller audience areas, or tell your "
    "administrator.",
)

COMPUTED = 95
"""Per cent of the work that lie behind when the sums are done."""


def build(held: Claim[Run]) -> None:
    """Work on a claimed run until it is done or has failed with a sentence."""
    work(held, partial(_build, held), WORDS, CannotCompute)


def _build(held: Claim[Run]) -> None:
    started = time.monotonic()
    run = Run.objects.get(pk=held.pk)
    system = read_description(run.description)
    before = time.monotonic()
    prediction = compute(system, partial(_tell, Steps(held, COMPUTED)))
    computing_s = time.monotonic() - before
    if not held.renew(progress=COMPUTED, doing="writing the packet"):
        raise ClaimLost
    _finish(held, prediction, started, computing_s)


def _tell(steps: Steps, done: int, total: int, what: str) -> None:
    steps(done, total, f"{what} ({done + 1} of {total})" if done < total else "writing the packet")


def _finish(held: Claim[Run], prediction: Prediction, started: float, computing_s: float) -> None:
    """Run done and all its waiting packets filled, or nothing of both."""
    with transaction.atomic():
        # The lock comes first: a request that adds a packet to this run holds it too, so that
        # its packet is either seen below or finds the run done.
        run = held.held().select_for_update().first()
        if run is None:
            raise ClaimLost
        run.prediction = to_plain(prediction)
        fill_waiting(run, prediction)
        run.state = Run.State.DONE
        run.progress, run.doing, run.lease_until = 100, "", None
        run.finished_at = timezone.now()
        run.computing_seconds = computing_s
        run.seconds = time.monotonic() - started
        run.save()


def fill_waiting(run: Run, prediction: Prediction | None = None) -> None:
    """Give every packet that waits for this run its sections. Needs a computed run."""
    waiting = list(Packet.objects.filter(run=run, made_at=None).select_for_update())
    if not waiting:
        return
    system = read_description(run.description)
    prediction = prediction or prediction_from_plain(run.prediction)
    for packet in waiting:
        decided = judged(
            packet.overrides,
            findings_of(prediction),
            timezone.now(),
            ZoneInfo(packet.about["zone"]),
        )
        sections = make_sections(system, prediction, packet.kit, decided, packet.about)
        pictures = take_pictures_out(sections)
        Packet.objects.filter(pk=packet.pk, made_at=None).update(
            sections=sections, pictures=pictures, made_at=Now()
        )
