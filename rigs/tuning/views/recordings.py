"""Pages of an event's recordings."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_GET
from django_htmx.http import HttpResponseClientRedirect

from rigs.people.rights import MEASURE
from rigs.systems.models import ListeningSpot
from rigs.tuning import queries
from rigs.tuning.actions import remove_recording
from rigs.tuning.captured import doubts
from rigs.tuning.forms import RecordingForm
from rigs.tuning.incoming import SoundUpload
from rigs.tuning.look import Look, remarks
from rigs.tuning.models import Recording
from rigs.tuning.signals import words
from rigs.tuning.views.rights import event_of, may_look, may_measure, person
from rigs.tuning.views.sounds import offered_signals


@dataclass(frozen=True, slots=True)
class Shown:
    """A recording as the list shows it."""

    row: Recording
    seconds: float
    look: Look
    remarks: list[str]
    doubts: list[str]
    played: str


def shown(row: Recording) -> Shown:
    """A recording with what is to be said of it."""
    look = Look.from_plain(row.look)
    quiet = row.content == Recording.Content.BACKGROUND
    return Shown(
        row,
        row.frames / row.rate_hz,
        look,
        remarks(look, may_be_quiet=quiet),
        doubts(row.captured, row.rate_hz),
        words(row.played) if row.played else "",
    )


@require_GET
@may_look
def event(request: HttpRequest, event_id: int) -> HttpResponse:
    """What was recorded at an event, by listening spot."""
    found = event_of(event_id)
    spots = [
        {"spot": at.spot, "recordings": [shown(row) for row in at.recordings]}
        for at in queries.by_spot(found)
    ]
    context = {
        "event": found,
        "tab": "tuning",
        "zone": found.space.venue.zone,
        "spots": spots,
        "may_change": person(request).has_perm(MEASURE),
    }
    return render(request, "tuning/event.html", context)


@csrf_exempt
@may_measure
def recording_new(request: HttpRequest, event_id: int) -> HttpResponse:
    """Add a recording. Who sends it is checked before its body is read, the form's mark after
    the upload's own way to disk is laid: that order is why the check stands below."""
    request.upload_handlers = [SoundUpload(request)]
    answer: HttpResponse = _recording_new(request, event_id)
    return answer


@csrf_protect
def _recording_new(request: HttpRequest, event_id: int) -> HttpResponse:
    found = event_of(event_id)
    sent = request.method == "POST"
    form = RecordingForm(
        request.POST if sent else None,
        request.FILES if sent else None,
        event=found,
        person=person(request),
        too_large=getattr(request, "too_large", ""),
        initial=request.GET.dict(),
    )
    if sent and form.is_valid():
        kept = form.keep()
        if kept is not None:
            now = shown(kept)
            said = " ".join(now.remarks + now.doubts)
            messages.success(request, f"Kept: {kept}, {kept.frames / kept.rate_hz:.1f} s. {said}")
            home = reverse("tuning:event", args=[found.pk])
            by_script = bool(request.htmx)  # type: ignore[attr-defined]
            return HttpResponseClientRedirect(home) if by_script else redirect(home)
    context: dict[str, Any] = {
        "event": found,
        "tab": "tuning",
        "form": form,
        "signals": offered_signals(),
        "has_spots": ListeningSpot.objects.filter(event=found).exists(),
    }
    return render(request, "tuning/recording_new.html", context)


@may_measure
def recording_remove(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponse:
    """Ask before removing a recording (GET), remove it (POST)."""
    found = event_of(event_id)
    row = queries.recording(event_id, recording_id)
    if row is None:
        messages.info(request, "This recording is not here any more.")
        return redirect("tuning:event", found.pk)
    if request.method == "POST":
        said = str(row)
        remove_recording(row)
        messages.success(request, f"Removed: {said}.")
        return redirect("tuning:event", found.pk)
    context = {
        "event": found,
        "tab": "tuning",
        "zone": found.space.venue.zone,
        "each": shown(row),
        "analyses": row.analyses.count(),
    }
    return render(request, "tuning/recording_remove.html", context)
