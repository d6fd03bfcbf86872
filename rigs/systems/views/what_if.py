"""Another amplifier, cable, mode or gain tried on a line's page, then kept or dropped."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rigs.people.rights import DESCRIBE_RIG
from rigs.requests import seen_in
from rigs.systems.faults import NotSaved
from rigs.systems.forms import WhatIfForm
from rigs.systems.forms.what_if import PREFIX
from rigs.systems.models import DriveLine
from rigs.systems.views.reading import read_around, read_rig
from rigs.systems.views.rights import demand_change, person
from rigs.systems.what_if import keep, try_out
from rigs.versions import ChangedMeanwhile

RESULT = "what-if-result"


def is_asked(request: HttpRequest) -> bool:
    """Whether the address carries a what-if."""
    return any(name.startswith(f"{PREFIX}-") for name in request.GET)


def tried(request: HttpRequest, event_id: int, line_id: int) -> dict[str, Any]:
    """The form of the what-if and, where one is asked, before and after. Stores nothing."""
    event = read_around(event_id, line_id)
    row = _line(event.drivelines.all(), line_id)
    asked = is_asked(request)
    form = WhatIfForm(request.GET if asked else None, event=event, line=row)
    context: dict[str, Any] = {
        "event": event,
        "line": row,
        "what_if": form,
        "tried": None,
        "asked": asked,
        "seen": row.version,
        "seen_place": row.amplifier_place.version,
        "may_keep": person(request).has_perm(DESCRIBE_RIG),
    }
    if asked and form.is_valid():
        context["tried"] = answer = try_out(event, line_id, form.change())
        form.take(answer.faults)
    return context


@require_POST
def what_if_keep(request: HttpRequest, event_id: int, line_id: int) -> HttpResponse:
    """Store what was tried; when refused, the page says why and keeps what was typed."""
    from rigs.systems.views.lines import line_page

    demand_change(request)
    event = read_rig(event_id)
    row = _line(event.drivelines.all(), line_id)
    form = WhatIfForm(request.POST, event=event, line=row)
    if form.is_valid():
        try:
            keep(
                event,
                line_id,
                form.change(),
                seen_in(request, "seen_place"),
                seen_in(request, "seen"),
                person(request),
            )
        except NotSaved as refusal:
            form.take(refusal.faults)
        except ChangedMeanwhile as meanwhile:
            form.add_error(None, str(meanwhile))
        else:
            messages.success(request, f"Saved {row} as tried.")
            return redirect("systems:line", event_id, line_id)
    fresh = _line(read_rig(event_id).drivelines.all(), line_id)
    what_if = {
        "what_if": form,
        "tried": None,
        "asked": True,
        "seen": fresh.version,
        "seen_place": fresh.amplifier_place.version,
        "may_keep": True,
    }
    return line_page(request, event_id, line_id, None, what_if)


def _line(lines: Any, line_id: int) -> DriveLine:
    found: DriveLine | None = next((each for each in lines if each.pk == line_id), None)
    if found is None:
        raise Http404("There is no such drive line.")
    return found
