"""Jobs: fetch, call, nothing more."""

import logging
from typing import Any

from celery import shared_task
from celery.signals import worker_ready
from kombu.exceptions import OperationalError

from rigs.jobs import queue
from rigs.jobs.claims import claim
from rigs.packets import builds
from rigs.packets.models import Run

logger = logging.getLogger(__name__)


@shared_task
def build(run_id: int) -> None:
    """Build one run, unless somebody does or did."""
    held = claim(Run, run_id, "reading the rig")
    if held:
        builds.build(held)


@shared_task
def requeue_waiting() -> None:
    """Take up what waits or lost its worker."""
    queue.requeue(build, Run, builds.WORDS.died_too_often)


def enqueue(run_id: int) -> None:
    """Queue a build."""
    queue.enqueue(build, run_id)


@worker_ready.connect
def look_for_work(**_: Any) -> None:
    """A worker that starts takes up what was left behind."""
    try:
        requeue_waiting.delay()
    except OperationalError as problem:
        logger.warning("Looking for waiting runs is put off: %s", problem)
