"""Listening for feedback: a phone's microphone while the gain is raised, or a recording."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST
from redis import RedisError

from rigs.people.rights import MEASURE
from rigs.systems.models import RingNotch, StageMicrophone
from rigs.systems.ring_out import CAUTIONS, STOP_RULE
from rigs.systems.rung import ringing
from rigs.tuning import queries
from rigs.tuning.analyse.listening import MOST_S, Through, through
from rigs.tuning.forms import heard_notch, usual_notch
from rigs.tuning.listening import (
    MOST_BYTES,
    NotHeard,
    answer,
    caught_by,
    caught_words,
    dial_words,
    read_sent,
    said_hz,
    sheet_words,
)
from rigs.tuning.models import Recording
from rigs.tuning.views.recordings import shown
from rigs.tuning.views.rights import event_of, may_look, may_measure, person
from rigs.tuning.wav import NotSound

TOO_LARGE, BAD, AWAY = 413, 400, 503
NO_MEMORY = "The site can't remember what it heard: nothing is listened to. Trust your ears."


@require_GET
@may_measure
def listening(request: HttpRequest, event_id: int) -> HttpResponse:
    """The page that listens; all that follows is its script's."""
    event = event_of(event_id)
    now = ringing(event)
    context = {
        "event": event,
        "tab": "tuning",
        "cautions": CAUTIONS,
        "stop_rule": STOP_RULE,
        "now": now,
        "sheet": sheet_words(now),
        "microphones": StageMicrophone.objects.filter(event=event).order_by("name"),
    }
    return render(request, "tuning/listening.html", context)


@require_POST
@may_measure
@never_cache
def listening_heard(request: HttpRequest, event_id: int) -> HttpResponse:
    """What a phone's microphone heard since the last answer: which tones are feedback by now."""
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES:
        return _refused("That is too much at once. Load the page anew.", TOO_LARGE)
    event = event_of(event_id)
    told = [request.GET.get(name, "") for name in ("rate", "known", "ear")]
    try:
        sent = read_sent(request.body, *told)
        return JsonResponse(answer(sent, ringing(event), person(request).pk))
    except NotHeard as why:
        return _refused(str(why), BAD)
    except RedisError:
        return _refused(NO_MEMORY, AWAY)


@require_POST
@may_measure
def listening_notch(request: HttpRequest, event_id: int) -> HttpResponse:
    """Put a notch at a heard tone onto the sheet, without leaving the page that listens."""
    event = event_of(event_id)
    before = ringing(event)
    form = heard_notch(request.POST, event=event, ring_out=before.ring_out)
    placed = form.is_valid() and form.save_for(person(request), RingNotch.Origin.HEARD)
    now = ringing(event)
    faults = [str(fault) for each in form.errors.values() for fault in each]
    said = dial_words(form.instance, now) if placed else " ".join(faults)
    return JsonResponse(
        {
            "placed": placed,
            "says": said,
            "reserve": not placed and now.free == 0 and now.in_reserve > 0,
            "sheet": sheet_words(now),
        }
    )


@require_GET
@may_look
def recording_listen(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponse:
    """Feedback in a recording: which tones came up, and when."""
    event = event_of(event_id)
    row = queries.recording(event_id, recording_id)
    if row is None:
        messages.info(request, "This recording is not here any more.")
        return redirect("tuning:event", event.pk)
    found, fault = _through(row)
    now = ringing(event)
    tones = []
    for tone in found.tones if found else ():
        notch = caught_by(tone.frequency_hz, now.notches)
        tones.append((said_hz(tone.frequency_hz), tone, notch and caught_words(notch)))
    context = {
        "event": event,
        "tab": "tuning",
        "zone": event.space.venue.zone,
        "each": shown(row),
        "found": found,
        "fault": fault,
        "most_minutes": MOST_S / 60,
        "tones": tones,
        "now": now,
        "sheet": sheet_words(now),
        "usual": usual_notch(now.ring_out),
        "may_change": person(request).has_perm(MEASURE),
    }
    return render(request, "tuning/recording_listen.html", context)


def _through(row: Recording) -> tuple[Through | None, str]:
    try:
        return through(row), ""
    except (NotSound, OSError, ValueError):
        return None, "Its file can't be read any more. Add the recording again."


def _refused(words: str, status: int) -> JsonResponse:
    return JsonResponse({"says": words}, status=status)
