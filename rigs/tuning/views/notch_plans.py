"""Notches from measured loops: asking, looking, placing."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rigs.people.rights import MEASURE
from rigs.systems.faults import NotSaved
from rigs.systems.rung import ringing
from rigs.tuning import queries
from rigs.tuning.actions import place_plan
from rigs.tuning.analyse.planned import shown_plan
from rigs.tuning.forms import PlanForm
from rigs.tuning.models import NotchPlan
from rigs.tuning.views.rights import event_of, may_look, may_measure, person

PART = "plan"
OTHER_FORM = "An earlier version of the tool wrote this result. Ask again."


@require_http_methods(["GET", "POST"])
@may_measure
def notch_plans(request: HttpRequest, event_id: int) -> HttpResponse:
    """What was measured and planned; another plan is asked for here."""
    event = event_of(event_id)
    form = PlanForm(
        request.POST if request.method == "POST" else None,
        event=event,
        loops=queries.loop_recordings(event),
        now=ringing(event),
    )
    if request.method == "POST" and not form.cannot and form.is_valid():
        return redirect("tuning:notch_plan", event.pk, form.ask(person(request)).pk)
    context = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "form": form,
        "rows": queries.notch_plans(event),
    }
    return render(request, "tuning/notch_plans.html", context)


@require_GET
@may_look
def notch_plan(request: HttpRequest, event_id: int, plan_id: int) -> HttpResponse:
    """One plan: how far it is, or rings and notches."""
    row = queries.notch_plan(event_id, plan_id)
    if row is None:
        messages.info(request, "This plan is not here any more.")
        return redirect("tuning:ring_out", event_of(event_id).pk)
    return _page(request, row)


@require_POST
@may_measure
def notch_plan_place(request: HttpRequest, event_id: int, plan_id: int) -> HttpResponse:
    """Put a plan's notches on the sheet."""
    row = queries.notch_plan(event_id, plan_id)
    if row is None:
        messages.info(request, "This plan is not here any more.")
        return redirect("tuning:ring_out", event_of(event_id).pk)
    try:
        count = place_plan(row, person(request))
    except NotSaved as refusal:
        messages.error(request, str(refusal))
        return redirect("tuning:notch_plan", row.event_id, row.pk)
    many = "notches are" if count > 1 else "notch is"
    messages.success(request, f"{count} {many} on the sheet, and not set yet.")
    return redirect("tuning:ring_out", row.event_id)


def _page(request: HttpRequest, row: NotchPlan) -> HttpResponse:
    found, fault = None, ""
    if row.result is not None:
        try:
            found = shown_plan(row.result)
        except ValueError:
            fault = OTHER_FORM
    context: dict[str, Any] = {
        "event": row.event,
        "tab": "tuning",
        "zone": row.event.space.venue.zone,
        "row": row,
        "found": found,
        "form_fault": fault,
        "may_change": person(request).has_perm(MEASURE),
    }
    part = request.headers.get("HX-Target") == PART
    page = "tuning/_notch_plan.html" if part else "tuning/notch_plan.html"
    answer = render(request, page, context)
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer
