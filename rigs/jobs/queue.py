"""Handing jobs to the workers. Every request is a row already: a dead broker only delays it."""

import logging
from typing import Any

import redis
from celery import Task
from django.conf import settings
from kombu.exceptions import OperationalError
from redis.backoff import NoBackoff
from redis.retry import Retry

from rigs.jobs import claims
from rigs.jobs.models import Job

logger = logging.getLogger(__name__)

REQUEUE_EVERY_S = 5
"""The clock in config/jobs.py looks for waiting rows so often."""


def enqueue(task: "Task[Any, Any]", pk: int) -> None:
    """Queue the work on a row."""
    try:
        _demand_answer()
        task.delay(pk)
    except (OperationalError, redis.RedisError) as problem:
        logger.warning("%s %s is kept; the job queue does not answer: %s", task.name, pk, problem)


def requeue(task: "Task[Any, Any]", kind: type[Job], died_too_often: str) -> None:
    """Queue again what waits (the broker was down) or lost its worker; fail what is hopeless."""
    claims.give_up_hopeless(kind, died_too_often)
    for pk in claims.up_for_claim(kind).values_list("pk", flat=True):
        # These messages go stale by themselves, so that a long queue does not grow.
        task.apply_async((pk,), expires=2 * REQUEUE_EVERY_S)


def _demand_answer() -> None:
    """Raise at once when the queue is down: publishing would try for seconds, with a person
    waiting for the page."""
    with redis.Redis.from_url(
        settings.REDIS_URL, socket_connect_timeout=1, retry=Retry(NoBackoff(), 0)
    ) as queue:
        queue.ping()
