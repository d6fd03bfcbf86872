"""Jobs: fetch, call, nothing more."""

from celery import shared_task

from rigs.queueing import queue_or_wait
from rigs.systems import aims

REQUEUE_EVERY_S = 5
"""The clock in config/jobs.py calls `requeue_aims` so often."""


@shared_task
def aim(proposal_id: int) -> None:
    """Search for one proposal, unless somebody does or did."""
    held = aims.claim(proposal_id)
    if held:
        aims.work(held)


@shared_task
def requeue_aims() -> None:
    """Queue again what waits (the broker was down) or lost its worker."""
    aims.give_up_hopeless()
    for proposal_id in aims.up_for_claim().values_list("pk", flat=True):
        # These messages go stale by themselves, so that a long queue does not grow.
        aim.apply_async((proposal_id,), expires=2 * REQUEUE_EVERY_S)


def enqueue(proposal_id: int) -> None:
    """Queue a search."""
    queue_or_wait(aim, proposal_id, "Proposal")
