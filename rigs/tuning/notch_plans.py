"""Working on a notch plan: read the sound, find rings and notches, store them."""

from functools import partial

from rigs.jobs.claims import MOST_ATTEMPTS, Claim, Steps
from rigs.jobs.work import Words
from rigs.jobs.work import work as do
from rigs.tuning.analyse.looping import plan
from rigs.tuning.models import NotchPlan

WORDS = Words(
    too_long="The plan took too long and was stopped. Ask again with fewer microphones.",
    broke="The plan broke on a fault of ours, not of the recordings. Ask again; if it breaks "
    "again, tell your administrator: the log of the worker has the details.",
    died_too_often=f"The worker stopped in the middle of this plan {MOST_ATTEMPTS} times. "
    "Tell your administrator.",
)


def work(held: Claim[NotchPlan]) -> None:
    """Plan until it is done or has failed with a sentence."""
    do(held, partial(_plan, held), WORDS)


def _plan(held: Claim[NotchPlan]) -> None:
    row = NotchPlan.objects.get(pk=held.pk)
    held.finish(result=plan(row.inputs, Steps(held)))
