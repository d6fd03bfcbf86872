"""Sound for the ears: test signals and recordings, played by the browser or downloaded."""

import re
from collections.abc import Callable

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rigs.tuning import queries
from rigs.tuning.analyse.playing import wav_of
from rigs.tuning.signals import SIGNALS, played, whole_seconds, words
from rigs.tuning.views.rights import event_of, may_look, may_measure

RANGE = re.compile(r"bytes=(\d{1,12})-(\d{0,12})")
MOST_AT_ONCE = 4_000_000


@require_GET
@may_measure
def signals(request: HttpRequest, event_id: int) -> HttpResponse:
    """The test signals, to play or to download."""
    context = {"event": event_of(event_id), "tab": "tuning", "signals": offered_signals()}
    return render(request, "tuning/signals.html", context)


def offered_signals() -> list[dict[str, object]]:
    """Every test signal as a page shows it."""
    return [
        {"key": key, "words": words(played(key)), "whole_s": whole_seconds(key)} for key in SIGNALS
    ]


@require_GET
@may_measure
def signal_sound(request: HttpRequest, event_id: int, signal: str) -> HttpResponseBase:
    """A test signal as a WAV file."""
    event_of(event_id)
    if signal not in SIGNALS:
        raise Http404("There is no such test signal.")
    content = wav_of(signal)
    response = _part(request, len(content), lambda start, end: content[start:end])
    if response is None:
        response = HttpResponse(content, content_type="audio/wav")
    return _named(request, response, f"{signal}.wav")


@require_GET
@may_look
def recording_sound(request: HttpRequest, event_id: int, recording_id: int) -> HttpResponseBase:
    """A recording as it came in."""
    found = queries.recording(event_id, recording_id)
    if found is None:
        raise Http404("There is no such recording.")
    try:
        file = found.file.open("rb")
    except FileNotFoundError:
        raise Http404("The file of this recording is lost.") from None
    name = f"recording-{found.pk}.wav"

    def read(start: int, end: int) -> bytes:
        file.seek(start)
        return bytes(file.read(end - start))

    response = _part(request, found.file.size, read)
    if response is None:
        return _named(request, FileResponse(file, content_type="audio/wav"), name)
    file.close()
    return _named(request, response, name)


def _part(
    request: HttpRequest, size: int, read: Callable[[int, int], bytes]
) -> HttpResponse | None:
    """The bytes that a player asked for (some play nothing otherwise); None: it wants all."""
    asked = RANGE.fullmatch(request.headers.get("Range", ""))
    if asked is None:
        return None
    start = int(asked[1])
    if start >= size:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    end = min(int(asked[2]) + 1 if asked[2] else size, size, start + MOST_AT_ONCE)
    response = HttpResponse(read(start, end), status=206, content_type="audio/wav")
    response["Content-Range"] = f"bytes {start}-{end - 1}/{size}"
    return response


def _named(request: HttpRequest, response: HttpResponseBase, name: str) -> HttpResponseBase:
    kind = "attachment" if "download" in request.GET else "inline"
    response["Content-Disposition"] = f'{kind}; filename="{name}"'
    response["Accept-Ranges"] = "bytes"
    response["Cache-Control"] = "private, max-age=3600"
    response["Content-Encoding"] = "identity"  # a compressed part could not be put together
    return response
