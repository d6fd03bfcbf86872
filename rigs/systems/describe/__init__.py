"""From the rows of a rig to what `calc` is asked, and the lines' answers back."""

from collections.abc import Iterable

from calc.system import SystemDescription
from rigs.events.models import Event
from rigs.systems import queries
from rigs.systems.describe.checking import CheckedLines, checked_lines
from rigs.systems.describe.rig import freeze

__all__ = ["CheckedLines", "checked_lines", "describe", "describe_events", "freeze"]


def describe(event: Event) -> SystemDescription:
    """The event's rig as it is in the database now, frozen."""
    return freeze(queries.rig(event.pk))


def describe_events(events: Iterable[Event]) -> list[tuple[Event, SystemDescription]]:
    """The rigs of many events, in the order given, in a constant number of queries."""
    asked = list(events)
    read = {event.pk: event for event in queries.rigs(event.pk for event in asked)}
    return [(event, freeze(read[event.pk])) for event in asked if event.pk in read]
