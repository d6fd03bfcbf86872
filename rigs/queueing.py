"""Handing work to the job queue without letting a person wait for a dead one."""

import logging
from typing import Any

import redis
from django.conf import settings
from kombu.exceptions import OperationalError
from redis.backoff import NoBackoff
from redis.retry import Retry

logger = logging.getLogger(__name__)


def queue_or_wait(task: Any, row_id: int, what: str) -> None:
    """Queue a task for a row that is safe in the database: a dead queue only delays it.

    `what` names the row in the log. The task's own room queues again what was left waiting.
    """
    try:
        _demand_answer()
        task.delay(row_id)
    except (OperationalError, redis.RedisError) as problem:
        logger.warning("%s %s is kept; the job queue does not answer: %s", what, row_id, problem)


def _demand_answer() -> None:
    """Raise at once when the queue is down: publishing would try for seconds, with a person
    waiting for the page."""
    with redis.Redis.from_url(
        settings.REDIS_URL, socket_connect_timeout=1, retry=Retry(NoBackoff(), 0)
    ) as queue:
        queue.ping()
