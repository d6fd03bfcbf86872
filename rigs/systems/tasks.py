"""Jobs: fetch, call, nothing more."""

import logging

import redis
from celery import shared_task
from django.conf import settings
from kombu.exceptions import OperationalError
from redis.backoff import NoBackoff
from redis.retry import Retry

from rigs.systems import aims

logger = logging.getLogger(__name__)

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
    """Queue a search. It is safe in the database: a dead broker only delays it."""
    try:
        with redis.Redis.from_url(
            settings.REDIS_URL, socket_connect_timeout=1, retry=Retry(NoBackoff(), 0)
        ) as queue:
            queue.ping()  # publishing would try for seconds, with a person waiting for the page
        aim.delay(proposal_id)
    except (OperationalError, redis.RedisError) as problem:
        logger.warning("Proposal %s is kept; the queue does not answer: %s", proposal_id, problem)
