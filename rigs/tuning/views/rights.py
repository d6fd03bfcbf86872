"""Who may look at what was measured, and who may measure."""

from typing import cast

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.people.rights import MEASURE, SEE_PACKETS

may_look = permission_required(SEE_PACKETS, raise_exception=True)
may_measure = permission_required(MEASURE, raise_exception=True)


def person(request: HttpRequest) -> Person:
    """Who asks. Every page demands an account, so that there is one."""
    return cast(Person, request.user)


def event_of(event_id: int) -> Event:
    """The event with its place, or the page that says there is none."""
    return get_object_or_404(Event.objects.select_related("space__venue"), pk=event_id)
