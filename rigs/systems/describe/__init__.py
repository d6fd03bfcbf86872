"""From the rows of a rig to what `calc` is asked, and the lines' answers back."""

from collections.abc import Iterable

from calc.prediction import Finding
from calc.safety import ELECTRICITY, LIFTING
from calc.serialise import differences, fingerprint, system_from_plain, to_plain
from calc.system import SystemDescription
from rigs.events.models import Event
from rigs.systems import queries
from rigs.systems.describe.checking import (
    MAINS_CHECKS,
    OUTPUT_CHECKS,
    WEIGHT_CHECKS,
    CheckedLines,
    CheckedSums,
    checked_few,
    checked_lines,
    checked_microphones,
    checked_outputs,
    checked_sums,
    lines_beside,
)
from rigs.systems.describe.cutting import cut_to_lines, limiter_inputs
from rigs.systems.describe.mains import feeds_in_use
from rigs.systems.describe.rig import freeze

__all__ = [
    "ELECTRICITY",
    "LIFTING",
    "MAINS_CHECKS",
    "OUTPUT_CHECKS",
    "WEIGHT_CHECKS",
    "CheckedLines",
    "CheckedSums",
    "Finding",
    "SystemDescription",
    "checked_few",
    "checked_lines",
    "checked_microphones",
    "checked_outputs",
    "checked_sums",
    "cut_to_lines",
    "describe",
    "describe_events",
    "differences",
    "feeds_in_use",
    "fingerprint",
    "freeze",
    "limiter_inputs",
    "lines_beside",
    "system_from_plain",
    "to_plain",
]


def describe(event: Event) -> SystemDescription:
    """The event's rig as it is in the database now, frozen."""
    return freeze(queries.rig(event.pk))


def describe_events(events: Iterable[Event]) -> list[tuple[Event, SystemDescription]]:
    """The rigs of many events, in the order given, in a constant number of queries."""
    asked = list(events)
    read = {event.pk: event for event in queries.rigs(event.pk for event in asked)}
    return [(event, freeze(read[event.pk])) for event in asked if event.pk in read]
