"""Who works on a run: claim first, then work.

A claim is one conditional UPDATE that takes a lease. While the worker lives it renews the
lease; when it is killed, the lease runs out and the next worker claims the run. `attempt`
tells a new claim from an old one, so that a worker that was only slow changes nothing.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta

from django.db import connection
from django.db.models import DateTimeField, DurationField, ExpressionWrapper, F, Q, QuerySet, Value
from django.db.models.functions import Now

from rigs.packets.models import Run

LEASE = timedelta(seconds=15)
RENEW_EVERY_S = 5.0
MOST_ATTEMPTS = 3

DIED_TOO_OFTEN = (
    f"The worker stopped in the middle of this build {MOST_ATTEMPTS} times. The rig may be too "
    "large for its memory: ask again with fewer or smaller audience areas, or tell your "
    "administrator."
)


@dataclass(frozen=True)
class Claim:
    """The right to work on a run, as long as the lease is renewed."""

    run_id: int
    attempt: int

    def held(self) -> QuerySet[Run]:
        """The run, as long as the claim is still ours."""
        return Run.objects.filter(pk=self.run_id, attempts=self.attempt, state=Run.State.WORKING)

    def renew(self, **fields: object) -> bool:
        """Push the lease out and store how far the work is; False when the claim is lost."""
        return self.held().update(lease_until=_lease_end(), **fields) == 1

    def fail(self, sentence: str) -> None:
        """Give the run up; it is tried again when someone asks for it again."""
        self.held().update(state=Run.State.FAILED, fault=sentence, lease_until=None, doing="")


def _lease_end() -> ExpressionWrapper:
    # The database's clock decides, so that workers need not agree on the time.
    end = Now() + Value(LEASE, output_field=DurationField())
    return ExpressionWrapper(end, output_field=DateTimeField())


def up_for_claim() -> QuerySet[Run]:
    """Runs that wait, and those whose worker is gone."""
    return Run.objects.filter(
        Q(state=Run.State.WAITING) | Q(state=Run.State.WORKING, lease_until__lt=Now())
    )


def claim(run_id: int) -> Claim | None:
    """Take a run that waits or whose worker is gone; None when there is nothing to do."""
    taken = (
        up_for_claim()
        .filter(pk=run_id, attempts__lt=MOST_ATTEMPTS)
        .update(
            state=Run.State.WORKING,
            attempts=F("attempts") + 1,
            lease_until=_lease_end(),
            progress=0,
            doing="reading the rig",
            fault="",
        )
    )
    if not taken:
        return None
    return Claim(run_id, Run.objects.values_list("attempts", flat=True).get(pk=run_id))


def give_up_hopeless() -> int:
    """Fail the runs whose workers died too often; how many."""
    return (
        up_for_claim()
        .filter(attempts__gte=MOST_ATTEMPTS)
        .update(state=Run.State.FAILED, fault=DIED_TOO_OFTEN, lease_until=None, doing="")
    )


@contextmanager
def heartbeat(held: Claim, every_s: float = RENEW_EVERY_S) -> Iterator[None]:
    """Renew the lease from a thread for as long as the block runs."""
    done = threading.Event()

    def beat() -> None:
        try:
            while not done.wait(every_s):
                held.renew()
        finally:
            connection.close()

    thread = threading.Thread(target=beat, name=f"lease-{held.run_id}", daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()
