"""Jobs: fetch, call, nothing more."""

from celery import shared_task

from rigs.jobs import queue
from rigs.jobs.claims import claim
from rigs.systems import aims
from rigs.systems.models import AimProposal


@shared_task
def aim(proposal_id: int) -> None:
    """Search for one proposal, unless somebody does or did."""
    held = claim(AimProposal, proposal_id)
    if held:
        aims.work(held)


@shared_task
def requeue_aims() -> None:
    """Take up what waits or lost its worker."""
    queue.requeue(aim, AimProposal, aims.WORDS.died_too_often)


def enqueue(proposal_id: int) -> None:
    """Queue a search."""
    queue.enqueue(aim, proposal_id)
