"""Jobs: fetch, call, nothing more."""

import logging
from typing import Any

from celery import shared_task
from celery.signals import worker_ready
from kombu.exceptions import OperationalError

from rigs.packets import builds, claims
from rigs.queueing import queue_or_wait

logger = logging.getLogger(__name__)

REQUEUE_EVERY_S = 5
"""The clock in config/jobs.py calls `requeue_waiting` so often."""


@shared_task
def build(run_id: int) -> None:
    """Build one run, unless somebody does or did."""
    held = claims.claim(run_id)
    if held:
        builds.build(held)


@shared_task
def requeue_waiting() -> None:
    """Queue again what waits (the broker was down) or lost its worker."""
    claims.give_up_hopeless()
    for run_id in claims.up_for_claim().values_list("pk", flat=True):
        # These messages go stale by themselves, so that a long queue does not grow.
        build.apply_async((run_id,), expires=2 * REQUEUE_EVERY_S)


def enqueue(run_id: int) -> None:
    """Queue a build."""
    queue_or_wait(build, run_id, "Run")


@worker_ready.connect
def look_for_work(**_: Any) -> None:
    """A worker that starts takes up what was left behind."""
    try:
        requeue_waiting.delay()
    except OperationalError as problem:
        logger.warning("Looking for waiting runs is put off: %s", problem)
