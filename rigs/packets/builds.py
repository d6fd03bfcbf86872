"""Building a run: compute, then freeze the result into every packet that waits for it."""

import logging
import time
from zoneinfo import ZoneInfo

from celery.exceptions import SoftTimeLimitExceeded
from django.db import transaction
from django.db.models.functions import Now
from django.utils import timezone

from rigs.packets.claims import Claim, heartbeat
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

logger = logging.getLogger(__name__)

BROKE = (
    "The build broke on a fault of ours, not of the rig. Ask again; if it breaks again, tell "
    "your administrator: the log of the worker has the details."
)
TOO_LONG = (
    "The sums took too long and were stopped. Make the audience areas smaller or fewer, then "
    "ask again."
)


class ClaimLost(Exception):
    """Another worker took the run over while this one was slow."""


def build(held: Claim) -> None:
    """Work on a claimed run until it is done or has failed with a sentence."""
    try:
        with heartbeat(held):
            _build(held)
    except ClaimLost:
        logger.warning("Run %s was taken over by another worker.", held.run_id)
    except CannotCompute as fault:
        held.fail(str(fault))
    except SoftTimeLimitExceeded:
        held.fail(TOO_LONG)
    except Exception:
        logger.exception("Run %s broke.", held.run_id)
        held.fail(BROKE)


def _build(held: Claim) -> None:
    started = time.monotonic()
    run = Run.objects.get(pk=held.run_id)
    system = read_description(run.description)
    before = time.monotonic()
    prediction = compute(system, Steps(held))
    computing_s = time.monotonic() - before
    if not held.renew(progress=95, doing="writing the packet"):
        raise ClaimLost
    _finish(held, prediction, started, computing_s)


class Steps:
    """Stores how far the work is, at most a few times a second."""

    LEAST_S = 0.2

    def __init__(self, held: Claim) -> None:
        self.held = held
        self.last = 0.0

    def __call__(self, done: int, total: int, what: str) -> None:
        now = time.monotonic()
        if now - self.last < self.LEAST_S:
            return
        self.last = now
        percent = 95 * done // max(total, 1)
        doing = f"{what} ({done + 1} of {total})" if done < total else "writing the packet"
        if not self.held.renew(progress=percent, doing=doing[:120]):
            raise ClaimLost


def _finish(held: Claim, prediction: Prediction, started: float, computing_s: float) -> None:
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
        sections = make_sections(system, prediction, packet.kit, decided)
        pictures = take_pictures_out(sections)
        Packet.objects.filter(pk=packet.pk, made_at=None).update(
            sections=sections, pictures=pictures, made_at=Now()
        )
