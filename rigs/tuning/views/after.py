"""After a fit: was it right, and what of it serves the next event here?"""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from rigs.events.models import Event
from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.systems.faults import NotSaved, put_by_field
from rigs.systems.queries import current_revision
from rigs.tuning import queries
from rigs.tuning.actions import carry
from rigs.tuning.analyse.before import shown_before, then_and_now
from rigs.tuning.analyse.checked import shown_check
from rigs.tuning.analyse.usable import usable_spots
from rigs.tuning.forms import CarryForm
from rigs.tuning.models import Equalisation
from rigs.tuning.views.rights import event_of, may_look, may_measure, person
from rigs.versions import ChangedMeanwhile


@require_GET
@may_look
def fit_check(request: HttpRequest, event_id: int, fit_id: int) -> HttpResponse:
    """What was measured since a fit was taken, filter by filter."""
    row = queries.equalisation(event_id, fit_id)
    if row is None or row.accepted_as is None:
        messages.info(request, "This fit was not taken: there is nothing to check yet.")
        return redirect("tuning:fits", event_of(event_id).pk)
    event = event_of(event_id)
    taken_at = row.accepted_as.made_at
    since = [each for each in queries.latest_analyses(event) if each.recording.made_at > taken_at]
    usable = usable_spots(list(event.listeningspots.all()), since)
    shown, fault = None, ""
    try:
        shown = shown_check(row, usable)
    except ValueError as why:
        fault = str(why)
    now = current_revision(event)
    context = {
        "event": event,
        "tab": "tuning",
        "row": row,
        "shown": shown,
        "fault": fault,
        "usable": usable,
        "changed": now is not None and now.number != row.accepted_as.number,
        "now": now,
        "may_change": person(request).has_perm(MEASURE),
    }
    return render(request, "tuning/fit_check.html", context)


@require_http_methods(["GET", "POST"])
@may_measure
def fit_carry(request: HttpRequest, event_id: int, fit_id: int) -> HttpResponse:
    """Show an earlier event's filters and where they may go (GET); start with them (POST)."""
    event = event_of(event_id)
    row = next((each for each in queries.taken_here_before(event) if each.pk == fit_id), None)
    if row is None:
        raise Http404("No such fit was taken here before.")
    form = CarryForm(
        request.POST if request.method == "POST" else None,
        event=event,
        initial={"reason": f"Start from {row.event}, fit {row.pk}"},
    )
    if request.method == "POST" and form.is_valid():
        place, numbers = form.cleaned_data["outputs"]
        try:
            revision = carry(
                row,
                place,
                numbers,
                seen=seen_in(request),
                reason=form.cleaned_data["reason"],
                person=person(request),
            )
        except NotSaved as refusal:
            put_by_field(form, refusal.faults)
        except ChangedMeanwhile as meanwhile:
            form.add_error(None, str(meanwhile))
        else:
            messages.success(request, f"Taken over: it is {revision} of the processing now.")
            return redirect("tuning:fits", event.pk)
    return render(request, "tuning/fit_carry.html", _carry_page(event, row, form))


def _carry_page(event: Event, row: Equalisation, form: CarryForm) -> dict[str, Any]:
    usable = usable_spots(list(event.listeningspots.all()), queries.latest_analyses(event))
    now = current_revision(event)
    types = queries.box_types([row.processor_place_id])
    return {
        "event": event,
        "tab": "tuning",
        "row": row,
        "before": shown_before(row, types),
        "pictures": then_and_now(row, usable),
        "form": form,
        "seen": now.number if now else 0,
    }
