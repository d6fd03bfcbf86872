"""Working on a proposal: search, then store what was found."""

from functools import partial

from rigs.jobs.claims import MOST_ATTEMPTS, Claim, Steps
from rigs.jobs.work import Words
from rigs.jobs.work import work as do
from rigs.systems.describe.aiming import search
from rigs.systems.models import AimProposal

WORDS = Words(
    too_long="The search took too long and was stopped. Choose fewer boxes, then ask again.",
    broke="The search broke on a fault of ours, not of the rig. Ask again; if it breaks again, "
    "tell your administrator: the log of the worker has the details.",
    died_too_often=f"The worker stopped in the middle of this search {MOST_ATTEMPTS} times. "
    "Choose fewer boxes, or tell your administrator.",
)


def work(held: Claim[AimProposal]) -> None:
    """Search until it is done or has failed with a sentence."""
    do(held, partial(_search, held), WORDS)


def _search(held: Claim[AimProposal]) -> None:
    proposal = AimProposal.objects.get(pk=held.pk)
    held.finish(result=search(proposal.description, proposal.freedoms, Steps(held)))
