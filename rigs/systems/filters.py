"""Filters of a processor's outputs: how many are in use, how many are free."""

from rigs.systems.models import ProcessorPlace
from rigs.systems.plans import OutputPlan, plans_of
from rigs.systems.queries import current_revision


def taken_filters(place: ProcessorPlace, numbers: list[int]) -> int:
    """Those in use in the fullest of these outputs."""
    plans = plans_of(current_revision(place.event))
    keys = [(place.pk, number) for number in numbers]
    return max((plans.get(key, OutputPlan(*key)).filters_used for key in keys), default=0)


def free_filters(place: ProcessorPlace, numbers: list[int]) -> int | None:
    """How many more every one of these outputs takes; None where nobody knows."""
    most = place.processor.filters_per_output
    return None if most is None else max(0, most - taken_filters(place, numbers))
