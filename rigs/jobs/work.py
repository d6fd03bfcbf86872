"""Doing a claimed job: whatever happens, it ends as done or as failed with a sentence."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from celery.exceptions import SoftTimeLimitExceeded

from rigs.jobs.claims import Claim, ClaimLost, heartbeat

logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Words:
    """What people read when a job of one kind does not end well."""

    too_long: str
    broke: str
    died_too_often: str


def work(
    held: Claim[Any],
    do: Callable[[], None],
    words: Words,
    refusals: type[Exception] = ValueError,
) -> None:
    """Run `do` under the claim's heartbeat. The text of a refusal is for people."""
    name = f"{held.kind._meta.label} {held.pk}"
    try:
        with heartbeat(held):
            do()
    except ClaimLost:
        logger.warning("%s was taken over by another worker.", name)
    except refusals as fault:
        held.fail(str(fault))
    except SoftTimeLimitExceeded:
        held.fail(words.too_long)
    except Exception:
        logger.exception("%s broke.", name)
        held.fail(words.broke)
