"""Equalising: asking for a fit, looking at it, taking it into the processing."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rigs.events.models import Event
from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.systems.faults import NotSaved, put_by_field
from rigs.systems.queries import current_revision
from rigs.systems.views.reading import read_rig
from rigs.tuning import queries
from rigs.tuning.actions import take
from rigs.tuning.analyse.before import Before, shown_before
from rigs.tuning.analyse.fitted import shown_fit
from rigs.tuning.analyse.usable import usable_spots
from rigs.tuning.forms import FitForm, TakeForm
from rigs.tuning.models import Equalisation
from rigs.tuning.views.rights import event_of, may_look, may_measure, person
from rigs.versions import ChangedMeanwhile

PART = "fit"
GONE = "This fit is not here any more."
OTHER_FORM = "An earlier version of the tool wrote this result. Fit again."


@require_http_methods(["GET", "POST"])
@may_look
def fits(request: HttpRequest, event_id: int) -> HttpResponse:
    """The fits of an event; who may measure asks for another here."""
    event = read_rig(event_id)
    may_change = person(request).has_perm(MEASURE)
    sent = request.method == "POST"
    if sent and not may_change:
        raise PermissionDenied
    usable = usable_spots(list(event.listeningspots.all()), queries.latest_analyses(event))
    form = FitForm(request.POST if sent else None, event=event, usable=usable)
    if sent and not form.nothing_to_fit and form.is_valid():
        row = form.ask(person(request))
        if row is not None:
            return redirect("tuning:fit", event.pk, row.pk)
    context = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "form": form,
        "usable": usable,
        "rows": queries.equalisations(event),
        "before": _before(event),
        "may_change": may_change,
    }
    return render(request, "tuning/fits.html", context)


def _before(event: Event) -> list[Before]:
    rows = queries.taken_here_before(event)
    types = queries.box_types({row.processor_place_id for row in rows})
    return [shown_before(row, types) for row in rows]


@require_GET
@may_look
def fit(request: HttpRequest, event_id: int, fit_id: int) -> HttpResponse:
    """One fit: how far it is, or what it found."""
    row = queries.equalisation(event_id, fit_id)
    if row is None:
        messages.info(request, GONE)
        return redirect("tuning:fits", event_of(event_id).pk)
    return _page(request, row, TakeForm(initial={"reason": _reason(row)}))


@require_POST
@may_measure
def fit_take(request: HttpRequest, event_id: int, fit_id: int) -> HttpResponse:
    """Make the processing revision that has the fit's filters."""
    row = queries.equalisation(event_id, fit_id)
    if row is None:
        messages.info(request, GONE)
        return redirect("tuning:fits", event_of(event_id).pk)
    form = TakeForm(request.POST)
    if form.is_valid():
        try:
            revision = take(
                row,
                seen=seen_in(request),
                reason=form.cleaned_data["reason"],
                with_gain=form.cleaned_data["with_gain"],
                person=person(request),
            )
        except NotSaved as refusal:
            put_by_field(form, refusal.faults)
        except ChangedMeanwhile as meanwhile:
            form.add_error(None, str(meanwhile))
        else:
            messages.success(request, f"Taken: it is {revision} of the processing now.")
            return redirect("tuning:fit", row.event_id, row.pk)
    return _page(request, row, form)


def _page(request: HttpRequest, row: Equalisation, form: TakeForm) -> HttpResponse:
    event = event_of(row.event_id)
    found, fault = None, ""
    if row.result is not None:
        try:
            found = shown_fit(row.inputs, row.result)
        except (ValueError, KeyError):
            fault = OTHER_FORM
    if found is not None:
        form.fields["with_gain"].help_text = f"By {found.gain_db:+.1f} dB on each of its outputs."
    now = current_revision(event)
    context: dict[str, Any] = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "row": row,
        "found": found,
        "form_fault": fault,
        "form": form,
        "seen": now.number if now else 0,
        "may_change": person(request).has_perm(MEASURE),
    }
    part = request.headers.get("HX-Target") == PART
    answer = render(request, "tuning/_fit.html" if part else "tuning/fit.html", context)
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


def _reason(row: Equalisation) -> str:
    return f"Equalised towards {row.inputs['target']['name']}, fit {row.pk}"
