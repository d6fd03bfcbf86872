"""Who works on a job: claim first, then work.

A claim is one conditional UPDATE that takes a lease. While the worker lives it renews the
lease; when it is killed, the lease runs out and the next worker claims the row. `attempt` tells
a new claim from an old one, so that a worker that was only slow changes nothing.
"""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Generic, TypeVar

from django.db import connection
from django.db.models import DateTimeField, DurationField, ExpressionWrapper, F, Q, QuerySet, Value
from django.db.models.functions import Now

from rigs.jobs.models import Job

Row = TypeVar("Row", bound=Job)

LEASE = timedelta(seconds=15)
RENEW_EVERY_S = 5.0
MOST_ATTEMPTS = 3


class ClaimLost(Exception):
    """Another worker took the job over while this one was slow."""


@dataclass(frozen=True, slots=True)
class Claim(Generic[Row]):
    """The right to work on a row, as long as the lease is renewed."""

    kind: type[Row]
    pk: int
    attempt: int

    def held(self) -> QuerySet[Row]:
        """The row, as long as the claim is still ours."""
        return self.kind._default_manager.filter(
            pk=self.pk, attempts=self.attempt, state=Job.State.WORKING
        )

    def renew(self, **fields: Any) -> bool:
        """Push the lease out and store how far the work is; False when the claim is lost."""
        return self.held().update(lease_until=_lease_end(), **fields) == 1

    def finish(self, **fields: Any) -> None:
        """Store what was found.

        Raises
        ------
        ClaimLost
        """
        done = {"state": Job.State.DONE, "progress": 100, "doing": "", "lease_until": None}
        if self.held().update(**done, **fields) != 1:
            raise ClaimLost

    def fail(self, sentence: str) -> None:
        """Give the row up; it is tried again when someone asks for it again."""
        self.held().update(state=Job.State.FAILED, fault=sentence, lease_until=None, doing="")


class Steps:
    """Stores how far the work is, at most a few times a second: call it as often as you like.

    Raises
    ------
    ClaimLost
        When called after the claim was lost, so that the work stops.
    """

    LEAST_S = 0.2

    def __init__(self, held: Claim[Any], most: int = 99) -> None:
        self.held, self.most = held, most
        self.last = 0.0

    def __call__(self, done: int, total: int, what: str = "") -> None:
        now = time.monotonic()
        if now - self.last < self.LEAST_S:
            return
        self.last = now
        percent = min(self.most, self.most * done // max(total, 1))
        if not self.held.renew(progress=percent, doing=what[:120]):
            raise ClaimLost


def _lease_end() -> ExpressionWrapper:
    # The database's clock decides, so that workers need not agree on the time.
    end = Now() + Value(LEASE, output_field=DurationField())
    return ExpressionWrapper(end, output_field=DateTimeField())


def up_for_claim(kind: type[Row]) -> QuerySet[Row]:
    """Rows that wait, and those whose worker is gone."""
    return kind._default_manager.filter(
        Q(state=Job.State.WAITING) | Q(state=Job.State.WORKING, lease_until__lt=Now())
    )


def claim(kind: type[Row], pk: int, doing: str = "") -> Claim[Row] | None:
    """Take a row that waits or whose worker is gone; None when there is nothing to do."""
    taken = (
        up_for_claim(kind)
        .filter(pk=pk, attempts__lt=MOST_ATTEMPTS)
        .update(
            state=Job.State.WORKING,
            attempts=F("attempts") + 1,
            lease_until=_lease_end(),
            progress=0,
            doing=doing,
            fault="",
        )
    )
    if not taken:
        return None
    attempt = kind._default_manager.values_list("attempts", flat=True).get(pk=pk)
    return Claim(kind, pk, attempt)


def give_up_hopeless(kind: type[Job], sentence: str) -> int:
    """Fail the rows whose workers died too often; how many."""
    return (
        up_for_claim(kind)
        .filter(attempts__gte=MOST_ATTEMPTS)
        .update(state=Job.State.FAILED, fault=sentence, lease_until=None, doing="")
    )


@contextmanager
def heartbeat(held: Claim[Any], every_s: float = RENEW_EVERY_S) -> Iterator[None]:
    """Renew the lease from a thread for as long as the block runs."""
    done = threading.Event()

    def beat() -> None:
        try:
            while not done.wait(every_s):
                held.renew()
        finally:
            connection.close()

    thread = threading.Thread(target=beat, name=f"lease-{held.pk}", daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()
