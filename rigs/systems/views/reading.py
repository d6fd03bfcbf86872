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
