"""What was found in a recording: how far it is, or the result."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_GET, require_POST

from rigs.people.rights import MEASURE
from rigs.tuning import queries
from rigs.tuning.actions import ask_analysis
from rigs.tuning.analyse.recorded import fingerprint
from rigs.tuning.analyse.showing import shown_found
from rigs.tuning.models import Recording
from rigs.tuning.views.recordings import shown
from rigs.tuning.views.rights import event_of, may_look, may_measure, person

PART = "analysis"
GONE = "This recording is not here any more."
OTHER_FORM = "An earlier version of the tool wrote this result. Analyse the recording again."


@require_GET
@may_look
def recording(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponse:
    """One recording: the numbers that decide first, then pictures and tables."""
    event = event_of(event_id)
    row = queries.recording(event_id, recording_id)
    if row is None:
        messages.info(request, GONE)
        return redirect("tuning:event", event.pk)
    context = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "each": shown(row),
        "may_change": person(request).has_perm(MEASURE),
    }
    part = request.headers.get("HX-Target") == PART
    page = "tuning/_analysis.html" if part else "tuning/recording.html"
    answer = render(request, page, context | _analysis(row))
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


@require_POST
@may_measure
def recording_analyse(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponse:
    """Ask for a recording's analysis as it is set now."""
    event = event_of(event_id)
    row = queries.recording(event_id, recording_id)
    if row is None:
        messages.info(request, GONE)
        return redirect("tuning:event", event.pk)
    ask_analysis(row, person(request))
    return redirect("tuning:recording", event.pk, row.pk)


def _analysis(row: Recording) -> dict[str, Any]:
    analysis = queries.latest_analysis(row)
    found, fault = None, ""
    if analysis and analysis.result is not None:
        try:
            found = shown_found(analysis.result)
        except ValueError:
            fault = OTHER_FORM
    stale = bool(analysis) and analysis is not None and analysis.fingerprint != fingerprint(row)
    return {"analysis": analysis, "found": found, "form_fault": fault, "stale": stale}
