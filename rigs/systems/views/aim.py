"""Aim and trim: ask for a proposal, see it, accept it or leave it."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.systems import actions, queries
from rigs.systems.describe.aiming import changes_of, evenness_rows
from rigs.systems.faults import NotSaved
from rigs.systems.forms import AimForm
from rigs.systems.models import AimProposal
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, person
from rigs.versions import ChangedMeanwhile

RESULT = "aim-result"
SHOWN_BEFORE = 5


def aim(request: HttpRequest, event_id: int) -> HttpResponse:
    """What may move, and what was proposed before."""
    demand_change(request)
    event = read_rig(event_id)
    form = AimForm(request.POST or None, event=event)
    if request.method == "POST" and form.is_valid():
        proposal = form.ask_for(person(request))
        if proposal is not None:
            return redirect("systems:aim_proposal", event_id, proposal.pk)
    context = _common(event) | {"form": form, "earlier": queries.aims(event)[:SHOWN_BEFORE]}
    return render(request, "systems/aim.html", context)


def aim_proposal(request: HttpRequest, event_id: int, proposal_id: int) -> HttpResponse:
    """One proposal: how far it is, or before and after. Nothing is applied here."""
    demand_change(request)
    proposal = _proposal(event_id, proposal_id)
    part = request.headers.get("HX-Target") == RESULT
    page = "systems/_aim_result.html" if part else "systems/aim_proposal.html"
    answer = render(request, page, _common(proposal.event) | _shown(proposal))
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


@require_POST
def aim_accept(request: HttpRequest, event_id: int, proposal_id: int) -> HttpResponse:
    """Apply a proposal, or say why not."""
    demand_change(request)
    proposal = _proposal(event_id, proposal_id)
    try:
        actions.accept_aim(proposal, person(request))
    except (NotSaved, ChangedMeanwhile) as refusal:
        context = _common(proposal.event) | _shown(proposal) | {"refusal": str(refusal)}
        return render(request, "systems/aim_proposal.html", context)
    messages.success(request, "The proposal is applied: this is the rig now.")
    return redirect("systems:coverage", event_id)


def _proposal(event_id: int, proposal_id: int) -> AimProposal:
    rows = AimProposal.objects.select_related("event__space__venue", "accepted_by", "asked_by")
    return get_object_or_404(rows.defer("description"), pk=proposal_id, event=event_id)


def _common(event: Event) -> dict[str, Any]:
    return {"event": event, "tab": "rig", "section": "coverage"}


def _shown(proposal: AimProposal) -> dict[str, Any]:
    result = proposal.result
    return {
        "proposal": proposal,
        "evenness": evenness_rows(result) if result else [],
        "changes": changes_of(result) if result else [],
        "remarks": result.get("remarks", []) if result else [],
    }
