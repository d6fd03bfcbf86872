"""Jobs: fetch, call, nothing more."""

from celery import shared_task

from rigs.jobs import queue
from rigs.jobs.claims import claim
from rigs.tuning import analyses, fits, notch_plans
from rigs.tuning.models import Analysis, Equalisation, NotchPlan


@shared_task
def analyse(analysis_id: int) -> None:
    """Analyse one recording, unless somebody does or did."""
    held = claim(Analysis, analysis_id, "reading the sound")
    if held:
        analyses.work(held)


@shared_task
def requeue_analyses() -> None:
    """Take up what waits or lost its worker."""
    queue.requeue(analyse, Analysis, analyses.WORDS.died_too_often)


def enqueue_analysis(analysis_id: int) -> None:
    """Queue an analysis."""
    queue.enqueue(analyse, analysis_id)


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


@shared_task
def plan_notches(plan_id: int) -> None:
    """Work out one notch plan, unless somebody does or did."""
    held = claim(NotchPlan, plan_id, "reading the sound")
    if held:
        notch_plans.work(held)


@shared_task
def requeue_notch_plans() -> None:
    """Take up what waits or lost its worker."""
    queue.requeue(plan_notches, NotchPlan, notch_plans.WORDS.died_too_often)


def enqueue_notch_plan(plan_id: int) -> None:
    """Queue a notch plan."""
    queue.enqueue(plan_notches, plan_id)
