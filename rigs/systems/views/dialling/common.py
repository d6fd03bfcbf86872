"""What the pages of processing have in common."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from rigs.events.clocks import said_time
from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.requests import typed_number
from rigs.systems.models import Revision
from rigs.systems.views.rights import person


def common(request: HttpRequest, event: Event) -> dict[str, Any]:
    """What every page of the section needs."""
    return {
        "event": event,
        "tab": "rig",
        "section": "processing",
        "may_change": person(request).has_perm(DESCRIBE_RIG),
    }


def said_at(event: Event, at: datetime) -> str:
    """A time on the venue's clock."""
    return said_time(at.astimezone(ZoneInfo(event.space.venue.zone)))


def listed(event: Event, revision: Revision) -> dict[str, Any]:
    """Number, who, when and why."""
    return {
        "number": revision.number,
        "who": str(revision.made_by or "somebody"),
        "at": said_at(event, revision.made_at),
        "reason": revision.reason,
    }


def current(event: Event) -> Revision | None:
    """The current revision of an event that `queries.rig` has read."""
    newest: list[Revision] = event.newest_revisions  # type: ignore[attr-defined]
    return newest[0] if newest else None


def current_number(event: Event) -> int:
    """The number of the current revision, 0 where there is none."""
    found = current(event)
    return found.number if found else 0


def seen_number(request: HttpRequest) -> int:
    """The number of the revision that the sent page showed; 0 where it does not say."""
    return typed_number(request.POST.get("seen", ""), digits=7) or 0
