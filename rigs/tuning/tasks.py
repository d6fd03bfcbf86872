"""Jobs: fetch, call, nothing more."""

from celery import shared_task

from rigs.jobs import queue
from rigs.jobs.claims import claim
from rigs.tuning import fits
from rigs.tuning.models import Equalisation


@shared_task
def fit(equalisation_id: int) -> None:
    """Fit one equalisation, unless somebody does or did."""
    held = claim(Equalisation, equalisation_id, "fitting filters")
    if held:
        fits.work(held)


@shared_task
def requeue_fits() -> None:
    """Take up what waits or lost its worker."""
    queue.requeue(fit, Equalisation, fits.WORDS.died_too_often)


def enqueue_fit(equalisation_id: int) -> None:
    """Queue a fit."""
    queue.enqueue(fit, equalisation_id)
