"""Working on an equalisation: fit, then store what was found."""

from functools import partial

from rigs.jobs.claims import MOST_ATTEMPTS, Claim
from rigs.jobs.work import Words
from rigs.jobs.work import work as do
from rigs.tuning.analyse.fitting import fit
from rigs.tuning.models import Equalisation

WORDS = Words(
    too_long="The fit took too long and was stopped. Allow fewer filters, then ask again.",
    broke="The fit broke on a fault of ours, not of the measurement. Ask again; if it breaks "
    "again, tell your administrator: the log of the worker has the details.",
    died_too_often=f"The worker stopped in the middle of this fit {MOST_ATTEMPTS} times. "
    "Tell your administrator.",
)


def work(held: Claim[Equalisation]) -> None:
    """Fit until it is done or has failed with a sentence."""
    do(held, partial(_fit, held), WORDS)


def _fit(held: Claim[Equalisation]) -> None:
    row = Equalisation.objects.get(pk=held.pk)
    held.finish(result=fit(row.inputs))
