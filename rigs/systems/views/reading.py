"""The rig that a page is about."""

from django.http import Http404

from rigs.events.models import Event
from rigs.systems import queries


def read_rig(event_id: int) -> Event:
    """The event with its rig, or the page that says there is none."""
    try:
        return queries.rig(event_id)
    except Event.DoesNotExist:
        raise Http404("There is no such event.") from None


def read_around(event_id: int, line_id: int) -> Event:
    """The event with what one line's amplifier needs, or the page that says there is none."""
    try:
        return queries.rig_around(event_id, line_id)
    except Event.DoesNotExist:
        raise Http404("There is no such event.") from None


def read_around_output(event_id: int, place_id: int, number: int) -> Event:
    """The event with what one output plays, or the page that says there is none."""
    try:
        return queries.rig_around_output(event_id, place_id, number)
    except Event.DoesNotExist:
        raise Http404("There is no such event.") from None
