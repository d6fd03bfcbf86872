"""Working on a proposal: claim it first, then search, then store what was found."""

import logging
import time
from dataclasses import dataclass
from datetime import timedelta

from celery.exceptions import SoftTimeLimitExceeded
from django.db.models import DateTimeField, DurationField, ExpressionWrapper, F, Q, QuerySet, Value
from django.db.models.functions import Now

from rigs.systems.describe.aiming import search
from rigs.systems.models import AimProposal

logger = logging.getLogger(__name__)

LEASE = timedelta(seconds=30)
MOST_ATTEMPTS = 3
TOLD_EVERY_S = 0.3

TOO_LONG = "The search took too long and was stopped. Choose fewer boxes, then ask again."
BROKE = (
    "The search broke on a fault of ours, not of the rig. Ask again; if it breaks again, tell "
    "your administrator: the log of the worker has the details."
)
DIED_TOO_OFTEN = (
    f"The worker stopped in the middle of this search {MOST_ATTEMPTS} times. Choose fewer boxes, "
    "or tell your administrator."
)


class ClaimLost(Exception):
    """Another worker took the proposal over while this one was slow."""


@dataclass(frozen=True, slots=True)
class Claim:
    """The right to work on a proposal, as long as the lease is renewed."""

    proposal_id: int
    attempt: int

    def held(self) -> QuerySet[AimProposal]:
        """The proposal, as long as the claim is still ours."""
        return AimProposal.objects.filter(
            pk=self.proposal_id, attempts=self.attempt, state=AimProposal.State.WORKING
        )

    def fail(self, sentence: str) -> None:
        """Give it up with a sentence."""
        self.held().update(state=AimProposal.State.FAILED, fault=sentence, lease_until=None)


def up_for_claim() -> QuerySet[AimProposal]:
    """Proposals that wait, and those whose worker is gone."""
    state = AimProposal.State
    return AimProposal.objects.filter(
        Q(state=state.WAITING) | Q(state=state.WORKING, lease_until__lt=Now())
    )


def claim(proposal_id: int) -> Claim | None:
    """Take a proposal that waits or whose worker is gone; None when there is nothing to do."""
    taken = (
        up_for_claim()
        .filter(pk=proposal_id, attempts__lt=MOST_ATTEMPTS)
        .update(
            state=AimProposal.State.WORKING,
            attempts=F("attempts") + 1,
            lease_until=_lease_end(),
            progress=0,
        )
    )
    if not taken:
        return None
    attempt = AimProposal.objects.values_list("attempts", flat=True).get(pk=proposal_id)
    return Claim(proposal_id, attempt)


def give_up_hopeless() -> int:
    """Fail those whose workers died too often; how many."""
    return (
        up_for_claim()
        .filter(attempts__gte=MOST_ATTEMPTS)
        .update(state=AimProposal.State.FAILED, fault=DIED_TOO_OFTEN, lease_until=None)
    )


def work(held: Claim) -> None:
    """Search until it is done or has failed with a sentence."""
    proposal = AimProposal.objects.get(pk=held.proposal_id)
    try:
        result = search(proposal.description, proposal.freedoms, _Told(held))
        held.held().update(
            state=AimProposal.State.DONE, result=result, progress=100, lease_until=None
        )
    except ClaimLost:
        logger.warning("Proposal %s was taken over by another worker.", held.proposal_id)
    except ValueError as fault:
        held.fail(str(fault))
    except SoftTimeLimitExceeded:
        held.fail(TOO_LONG)
    except Exception:
        logger.exception("Proposal %s broke.", held.proposal_id)
        held.fail(BROKE)


class _Told:
    """Stores how far the search is, and renews the lease, a few times a second at most."""

    def __init__(self, held: Claim) -> None:
        self.held = held
        self.last = time.monotonic()

    def __call__(self, trials: int, most: int) -> None:
        now = time.monotonic()
        if now - self.last < TOLD_EVERY_S:
            return
        self.last = now
        percent = min(99, 100 * trials // most)
        if not self.held.held().update(progress=percent, lease_until=_lease_end()):
            raise ClaimLost


def _lease_end() -> ExpressionWrapper:
    # The database's clock decides, so that workers need not agree on the time.
    end = Now() + Value(LEASE, output_field=DurationField())
    return ExpressionWrapper(end, output_field=DateTimeField())
