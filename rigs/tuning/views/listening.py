"""Listening for feedback: live from a phone, and through a recording."""

from typing import BinaryIO

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_POST

from rigs.requests import typed_number
from rigs.systems.rung import ringing
from rigs.tuning.analyse.listening import NotHeard, heard_in, heard_through
from rigs.tuning.analyse.recorded import microphone_channel
from rigs.tuning.models import Recording
from rigs.tuning.views.rights import event_of, may_measure
from rigs.tuning.wav import NotSound

MOST_BYTES = 1_000_000
LOST = "The file of this recording is lost."


@require_GET
@may_measure
def listening(request: HttpRequest, event_id: int) -> HttpResponse:
    """The page on which the phone listens."""
    event = event_of(event_id)
    context = {"event": event, "tab": "tuning", "now": ringing(event)}
    return render(request, "tuning/listening.html", context)


@require_POST
@may_measure
def listened(request: HttpRequest, event_id: int) -> HttpResponse:
    """What the last seconds of sound hold, as a part of the page."""
    event = event_of(event_id)
    size = typed_number(request.headers.get("Content-Length", "")) or 0
    rate = typed_number(request.GET.get("rate", "")) or 0
    try:
        if not 0 < size <= MOST_BYTES:
            raise NotHeard("That was no sound, or too little or too much of it.")
        heard, fault = heard_in(request.body, rate), ""
    except NotHeard as why:
        heard, fault = None, str(why)
    context = {"event": event, "heard": heard, "fault": fault, "now": ringing(event)}
    return render(request, "tuning/_heard.html", context, status=400 if fault else 200)


@require_GET
@may_measure
def recording_listen(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponse:
    """A recording, listened through."""
    event = event_of(event_id)
    row = get_object_or_404(Recording, event=event, pk=recording_id)
    heard, fault = None, ""
    try:
        file: BinaryIO = row.file.open("rb")  # type: ignore[assignment]
        with file:
            heard = heard_through(file, row.rate_hz, microphone_channel(row))
    except FileNotFoundError:
        fault = LOST
    except (NotSound, ValueError) as why:
        fault = str(why)
    context = {"event": event, "tab": "tuning", "row": row, "heard": heard, "fault": fault}
    return render(request, "tuning/recording_listen.html", context | {"now": ringing(event)})
