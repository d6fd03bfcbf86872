"""The ring-out: the sheet, its notches and its log."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from rigs.events.models import Event
from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.systems.actions import set_notches, take_notch_off
from rigs.systems.faults import NotSaved
from rigs.systems.models import RingNotch, StageMicrophone
from rigs.systems.queries import current_revision
from rigs.systems.ring_out import CAUTIONS, ORDER, STOP_RULE
from rigs.systems.rung import rang_here_before, ringing
from rigs.tuning import queries
from rigs.tuning.analyse.planned import measured_words
from rigs.tuning.forms import EntryForm, NotchForm, RingOutForm
from rigs.tuning.ring_sheet import microphone_rows
from rigs.tuning.views.rights import event_of, may_look, may_measure, person
from rigs.versions import ChangedMeanwhile

SET = "Notches of the ring-out"


@require_GET
@may_look
def ring_out(request: HttpRequest, event_id: int) -> HttpResponse:
    """The sheet."""
    return _sheet(request, event_of(event_id))


@require_POST
@may_measure
def ring_out_set_up(request: HttpRequest, event_id: int) -> HttpResponse:
    """Which outputs get notches, and how many."""
    event = event_of(event_id)
    form = RingOutForm(request.POST, event=event, instance=ringing(event).ring_out)
    if form.instance.pk:
        form.seen = seen_in(request)
    if form.is_valid() and form.save_for(person(request)):
        return _back(event)
    return _sheet(request, event, set_up=form)


@require_POST
@may_measure
def notch_new(request: HttpRequest, event_id: int) -> HttpResponse:
    """Put a notch on the sheet."""
    event = event_of(event_id)
    form = NotchForm(request.POST, event=event, ring_out=ringing(event).ring_out)
    heard = request.POST.get("origin") == RingNotch.Origin.HEARD
    origin = RingNotch.Origin.HEARD if heard else RingNotch.Origin.TYPED
    if form.is_valid() and form.save_for(person(request), origin):
        messages.success(request, f"On the sheet: {form.instance}.")
        return _back(event)
    return _sheet(request, event, notch=form)


@require_POST
@may_measure
def notch_off(request: HttpRequest, event_id: int, notch_id: int) -> HttpResponse:
    """Take a notch off the sheet."""
    event = event_of(event_id)
    row = RingNotch.objects.filter(event=event, pk=notch_id).first()
    if row is not None:
        try:
            take_notch_off(row)
        except NotSaved as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, f"Taken off: {row}.")
    return _back(event)


@require_POST
@may_measure
def notches_set(request: HttpRequest, event_id: int) -> HttpResponse:
    """Write the notches on the sheet into the processing."""
    event = event_of(event_id)
    try:
        revision = set_notches(event, seen=seen_in(request), reason=SET, person=person(request))
    except (NotSaved, ChangedMeanwhile) as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Set: it is {revision} of the processing now. Dial it in.")
    return _back(event)


@require_POST
@may_measure
def ring_entry(request: HttpRequest, event_id: int) -> HttpResponse:
    """Write a line of the log."""
    event = event_of(event_id)
    form = EntryForm(request.POST, event=event)
    if form.is_valid() and form.save_for(person(request)):
        messages.success(request, "Written into the log.")
        return _back(event)
    return _sheet(request, event, entry=form)


def _back(event: Event) -> HttpResponse:
    return redirect("tuning:ring_out", event.pk)


def _sheet(request: HttpRequest, event: Event, **forms: Any) -> HttpResponse:
    now = ringing(event)
    revision = current_revision(event)
    microphones = list(StageMicrophone.objects.filter(event=event).order_by("name"))
    plan = queries.latest_notch_plan(event)
    measured = measured_words(plan.result) if plan and plan.result else {}
    heard = request.GET.get("hz", "")
    notch = NotchForm(
        event=event, ring_out=now.ring_out, initial={"frequency_hz": heard} if heard else {}
    )
    context = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "cautions": CAUTIONS,
        "order": ORDER,
        "stop_rule": STOP_RULE,
        "now": now,
        "rows": microphone_rows(microphones, now.entries, now.notches, measured),
        "plan": plan,
        "before": rang_here_before(event),
        "set_up": RingOutForm(event=event, instance=now.ring_out),
        "notch": notch,
        "notch_open": bool(heard),
        "entry": EntryForm(event=event),
        "seen": revision.number if revision else 0,
        "may_change": person(request).has_perm(MEASURE),
    }
    return render(request, "tuning/ring_out.html", context | forms)
