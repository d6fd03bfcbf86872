"""The list of events, and their times."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from rigs.events import actions, queries
from rigs.events.forms import EventForm
from rigs.events.kit_page import event_clock_notes
from rigs.events.models import Event
from rigs.events.refusals import Refused
from rigs.people.rights import PLAN_EVENT, SEE_PACKETS
from rigs.requests import PageRequest

sees_events = permission_required(SEE_PACKETS, raise_exception=True)
plans_events = permission_required(PLAN_EVENT, raise_exception=True)
MOST_PAST = 100


@sees_events
def list_events(request: PageRequest) -> HttpResponse:
    now = timezone.now()
    past = queries.past_events(now)
    context = {
        "upcoming": queries.with_kit_figures(queries.upcoming_events(now, cancelled=True)),
        "past": queries.with_kit_figures(past)[:MOST_PAST],
        "now": now,
    }
    return render(request, "events/list.html", context)


@plans_events
def new_event(request: PageRequest) -> HttpResponse:
    return _edit(request, Event())


@plans_events
def edit_event(request: PageRequest, event_id: int) -> HttpResponse:
    return _edit(request, _event(event_id))


def _edit(request: PageRequest, event: Event) -> HttpResponse:
    is_new = event.pk is None
    form = EventForm(request.POST if request.method == "POST" else None, instance=event)
    if request.method == "POST" and form.is_valid():
        saved = form.save_as(request.user)
        if saved is not None:
            messages.success(request, f"{saved} is {'planned' if is_new else 'saved'}.")
            return redirect("events:kit", saved.pk)
    stored = None if is_new else _event(event.pk)
    notes = event_clock_notes(stored) if stored else []
    context = {"form": form, "event": stored, "tab": "times", "clock_notes": notes}
    return render(request, "events/edit.html", context)


@plans_events
def cancel_event(request: PageRequest, event_id: int) -> HttpResponse:
    """Ask, naming what is released; a post does it."""
    event = _event(event_id)
    if request.method == "POST":
        actions.cancel_event(event, request.user)
        messages.success(
            request,
            f"{event} is cancelled. Its kit is free for other events. You can take it up again.",
        )
    if request.method == "POST" or event.state == Event.State.CANCELLED:
        return redirect("events:edit", event_id)
    held = [row for row in queries.kit_rows(event) if row.pieces_promised]
    context = {"event": event, "held": held, "pieces": sum(row.pieces_promised for row in held)}
    return render(request, "events/cancel.html", context)


@require_POST
@plans_events
def take_up_again(request: PageRequest, event_id: int) -> HttpResponse:
    try:
        event, not_had = actions.take_up_again(_event(event_id), request.user)
        messages.success(
            request, f"{event} is {event.state} again, and all of its kit is promised."
        )
        for sentence in not_had:
            messages.warning(request, f"{sentence} Another unit goes in its place.")
    except Refused as no:
        messages.error(request, f"It stays cancelled. {no}")
    return redirect("events:edit", event_id)


def _event(event_id: int) -> Event:
    return get_object_or_404(
        Event.objects.select_related("space__venue", "changed_by"), pk=event_id
    )
