"""The mains page and the page of weights."""

import json
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems import actions
from rigs.systems.describe import (
    ELECTRICITY,
    LIFTING,
    MAINS_CHECKS,
    WEIGHT_CHECKS,
    checked_sums,
    feeds_in_use,
    freeze,
)
from rigs.systems.faults import NotSaved
from rigs.systems.phases import draw_words, shown_feeds, shown_supplies, unfed
from rigs.systems.views.decisions import beside_overrides
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.systems.weights import shown_supports
from rigs.versions import ChangedMeanwhile


def mains(request: HttpRequest, event_id: int) -> HttpResponse:
    """Phases, feeds, switch-on order: what is plugged where, and what would balance best."""
    demand_look(request)
    event = read_rig(event_id)
    checked = checked_sums(freeze(event))
    prediction = checked.prediction
    context = _common(request, event, "mains") | {
        "fault": checked.fault,
        "findings": beside_overrides(request, event, checked.findings(MAINS_CHECKS)),
        "supplies": shown_supplies(event, prediction) if prediction else [],
        "feeds": shown_feeds(event, prediction) if prediction else [],
        "unfed": unfed(event, prediction) if prediction else [],
        "lost_feeds": feeds_in_use(event)[1],
        "draws": [draw_words(draw) for draw in prediction.draws] if prediction else [],
        "start_order": prediction.start_order if prediction else (),
        "caution": ELECTRICITY,
    }
    return render(request, "systems/mains.html", context)


@require_POST
def plan_take(request: HttpRequest, event_id: int, supply_id: int) -> HttpResponse:
    """Plug the racks of a supply as the best plan says, if it still is the one that was seen."""
    demand_change(request)
    event = read_rig(event_id)
    prediction = checked_sums(freeze(event)).prediction
    shown = shown_supplies(event, prediction) if prediction else []
    supply = next((each for each in shown if each.row.pk == supply_id), None)
    if supply is None or supply.plan_text != request.POST.get("plan", ""):
        messages.error(
            request, "The rig changed while you had the page open. Look at the new plan first."
        )
        return redirect("systems:mains", event_id)
    try:
        plan = dict(json.loads(supply.plan_text))
        actions.take_plan(event, supply.row, plan, person(request))
    except (NotSaved, ChangedMeanwhile) as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"{supply.row}: the racks are plugged as planned.")
    return redirect("systems:mains", event_id)


def weights(request: HttpRequest, event_id: int) -> HttpResponse:
    """What hangs and stands on what, in kg. It approves no rigging."""
    demand_look(request)
    event = read_rig(event_id)
    checked = checked_sums(freeze(event))
    findings = beside_overrides(request, event, checked.findings(WEIGHT_CHECKS))
    supports = shown_supports(event, checked.prediction, findings) if checked.prediction else []
    context = _common(request, event, "weights") | {
        "fault": checked.fault,
        "supports": supports,
        "caution": LIFTING,
    }
    return render(request, "systems/weights.html", context)


def _common(request: HttpRequest, event: Event, section: str) -> dict[str, Any]:
    return {
        "event": event,
        "tab": "rig",
        "section": section,
        "may_change": person(request).has_perm(DESCRIBE_RIG),
    }
