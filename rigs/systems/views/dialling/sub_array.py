"""Subs as an array: tried in the address, taken as a revision."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.systems import actions
from rigs.systems.describe import freeze
from rigs.systems.describe.dialling.arrays import sub_names
from rigs.systems.dialling.aligning import outputs_to_change
from rigs.systems.dialling.arrays import reason_for, shown_array
from rigs.systems.faults import NotSaved
from rigs.systems.forms import SubArrayForm
from rigs.systems.views.dialling.common import common, current_number, seen_number
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.versions import ChangedMeanwhile

RESULT = "array-result"


def sub_array(request: HttpRequest, event_id: int) -> HttpResponse:
    """What the address asks for; to htmx only the answer."""
    demand_look(request)
    event = read_rig(event_id)
    part = request.headers.get("HX-Target") == RESULT
    page = "systems/processing/_array_answer.html" if part else "systems/processing/sub_array.html"
    answer = render(request, page, _context(request, event, request.GET) | {"part": part})
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


@require_POST
def sub_array_take(request: HttpRequest, event_id: int) -> HttpResponse:
    """Make a revision with delay and polarity of each sub's output."""
    demand_change(request)
    event = read_rig(event_id)
    context = _context(request, event, request.POST)
    taking = context.get("taking")
    refusal = "There is nothing to take."
    if taking is not None and taking.changes:
        try:
            made = actions.change_outputs(
                event,
                outputs_to_change(event, taking),
                seen=seen_number(request),
                reason=request.POST.get("reason", "").strip(),
                person=person(request),
            )
        except (NotSaved, ChangedMeanwhile) as said:
            refusal = str(said)
        else:
            messages.success(request, f"Taken: this is revision {made.number} now.")
            return redirect("systems:processing", event_id)
    context |= {"refusal": refusal, "part": False}
    return render(request, "systems/processing/sub_array.html", context)


def _context(request: HttpRequest, event: Event, data: Any) -> dict[str, Any]:
    system = freeze(event)
    form = SubArrayForm(data, subs=sub_names(system))
    context = common(request, event) | {"form": form, "seen": current_number(event)}
    if form.is_valid():
        asked = form.asked()
        context |= shown_array(system, asked)
        context["reason"] = request.POST.get("reason", "").strip() or reason_for(asked)
        context["sent"] = [
            (name, value) for name in form.fields for value in _values(form.data, name)
        ]
    return context


def _values(data: Any, name: str) -> list[str]:
    return list(data.getlist(name))
