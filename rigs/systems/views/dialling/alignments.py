"""Alignments: the list with its listening spots, one of them, and taking its delay."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.systems import actions
from rigs.systems.describe import freeze
from rigs.systems.describe.dialling.checked import checked_processing
from rigs.systems.describe.dialling.delays import taking
from rigs.systems.dialling.aligning import (
    alignment_rows,
    decides,
    outputs_to_change,
    reason_for,
    shown_alignment,
)
from rigs.systems.faults import NotSaved
from rigs.systems.models import Alignment
from rigs.systems.views.decisions import beside_overrides
from rigs.systems.views.dialling.common import common, current_number, seen_number
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.versions import ChangedMeanwhile


def alignments(request: HttpRequest, event_id: int) -> HttpResponse:
    """What shall run together, where people listen, and what was measured there."""
    demand_look(request)
    event = read_rig(event_id)
    checked = checked_processing(freeze(event))
    context = common(request, event) | {
        "fault": checked.fault,
        "alignments": alignment_rows(event, checked),
        "spots": event.listeningspots.all(),
        "measured": event.measuredresponses.all(),
    }
    return render(request, "systems/processing/alignments.html", context)


def alignment_page(request: HttpRequest, event_id: int, row_id: int) -> HttpResponse:
    """One alignment: what to do, how both sides run, what taking it changes."""
    demand_look(request)
    event = read_rig(event_id)
    return _page(request, event, _row(event, row_id))


@require_POST
def alignment_take(request: HttpRequest, event_id: int, row_id: int) -> HttpResponse:
    """Make a revision with the delays that this alignment asks for."""
    demand_change(request)
    event = read_rig(event_id)
    row = _row(event, row_id)
    system = freeze(event)
    checked = checked_processing(system)
    result = next((each for each in checked.alignments if each.name == row.name), None)
    asked = taking(system, result) if result else None
    if asked is None or not asked.changes:
        return _page(request, event, row, refusal="There is nothing to take.")
    try:
        made = actions.change_outputs(
            event,
            outputs_to_change(event, asked),
            seen=seen_number(request),
            reason=request.POST.get("reason", "").strip(),
            person=person(request),
        )
    except (NotSaved, ChangedMeanwhile) as refusal:
        return _page(request, read_rig(event_id), row, refusal=str(refusal))
    messages.success(request, f"Taken: this is revision {made.number} now.")
    return redirect("systems:alignment_page", event_id, row_id)


def _page(request: HttpRequest, event: Event, row: Alignment, refusal: str = "") -> HttpResponse:
    system = freeze(event)
    checked = checked_processing(system)
    shown = shown_alignment(event, system, checked, row)
    typed = request.POST.get("reason", "").strip()
    context = (
        common(request, event)
        | shown
        | {
            "row": row,
            "fault": checked.fault,
            "findings": beside_overrides(request, event, checked.of({row.name})),
            "seen": current_number(event),
            "reason": typed or reason_for(row.name, decides(shown["result"])),
            "refusal": refusal,
        }
    )
    return render(request, "systems/processing/alignment.html", context)


def _row(event: Event, row_id: int) -> Alignment:
    found = [each for each in event.alignments.all() if each.pk == row_id]
    if not found:
        raise Http404("There is no such alignment in this rig.")
    row: Alignment = found[0]
    return row
