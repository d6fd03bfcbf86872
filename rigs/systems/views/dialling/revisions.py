"""Versions of the processing: what changed when and why, and going back."""

from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rigs.events.clocks import said_day
from rigs.events.models import Event
from rigs.systems import actions, queries
from rigs.systems.dialling.revisions import Said, differences, said_by
from rigs.systems.faults import NotSaved
from rigs.systems.models import Revision
from rigs.systems.views.dialling.common import common, listed, seen_number
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.versions import ChangedMeanwhile


def revisions(request: HttpRequest, event_id: int) -> HttpResponse:
    """All revisions, newest first, and in what the newest differs from the last time here."""
    demand_look(request)
    event = read_rig(event_id)
    made = queries.revisions(event)
    said = [said_by(each, float(event.temperature_c)) for each in made]
    rows = [
        listed(event, each) | {"changes": _count(said, place)} for place, each in enumerate(made)
    ]
    context = common(request, event) | {"revisions": rows}
    if made:
        context |= _last_time(event, said[0])
    return render(request, "systems/processing/revisions.html", context)


def revision(request: HttpRequest, event_id: int, number: int) -> HttpResponse:
    """One revision whole, and its difference to the one before and to the last time here."""
    demand_look(request)
    return _page(request, read_rig(event_id), number)


@require_POST
def revision_back(request: HttpRequest, event_id: int, number: int) -> HttpResponse:
    """Make the next revision say what this one says."""
    demand_change(request)
    event = read_rig(event_id)
    chosen = _chosen(queries.revisions(event), number)
    reason = request.POST.get("reason", "").strip()
    try:
        made = actions.go_back(
            chosen,
            seen=seen_number(request),
            reason=reason,
            person=person(request),
        )
    except (NotSaved, ChangedMeanwhile) as refusal:
        return _page(request, event, number, reason=reason, refusal=str(refusal))
    messages.success(request, f"Revision {made.number} says what revision {number} said.")
    return redirect("systems:processing", event_id)


def _page(
    request: HttpRequest,
    event: Event,
    number: int,
    reason: str | None = None,
    refusal: str = "",
) -> HttpResponse:
    made = queries.revisions(event)
    chosen = _chosen(made, number)
    before = next((each for each in made if each.number < number), None)
    warmth = float(event.temperature_c)
    said = said_by(chosen, warmth)
    context = common(request, event) | {
        "revision": listed(event, chosen),
        "newest": made[0].number,
        "outputs": said,
        "before": listed(event, before) if before else None,
        "changes": differences(said_by(before, warmth), said),
        "since": differences(said, said_by(made[0], warmth)),
        "reason": f"Back to revision {number}: {chosen.reason}"[:200] if reason is None else reason,
        "refusal": refusal,
    }
    return render(request, "systems/processing/revision.html", context | _last_time(event, said))


def _last_time(event: Event, said: Said) -> dict[str, Any]:
    """The difference to what the last event at this venue ended with."""
    last = queries.last_time_at_venue(event)
    if last is None:
        return {"last": None}
    day = last.event.show_from.astimezone(ZoneInfo(event.space.venue.zone))
    earlier = said_by(last, float(event.temperature_c))
    return {
        "last": f"{last.event}, {said_day(day)} {day.year}",
        "last_changes": differences(earlier, said),
    }


def _chosen(made: list[Revision], number: int) -> Revision:
    found = next((each for each in made if each.number == number), None)
    if found is None:
        raise Http404("There is no such revision.")
    return found


def _count(said: list[Said], place: int) -> int:
    """How many outputs a revision changed."""
    before = said[place + 1] if place + 1 < len(said) else {}
    return len(differences(before, said[place]))
