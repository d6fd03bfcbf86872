"""Pages of packets: translate HTTP, nothing else."""

import re
from typing import Any, TypeVar

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET, require_POST

from rigs.events.models import Event
from rigs.packets import actions, presenting, queries, rendering
from rigs.packets.dial_in import as_csv, as_json, sheets_of
from rigs.packets.downloads import description_file
from rigs.packets.freshness import changes_since
from rigs.packets.models import Packet
from rigs.packets.paper import SIZES, make_pdf
from rigs.packets.pictures import themed
from rigs.people.models import Person
from rigs.people.rights import REQUEST_PACKET, SEE_PACKETS, TICK

Answer = TypeVar("Answer", bound=HttpResponse)

SHEET_ANCHOR = re.compile(r"dial-(\d{1,4})-")
CARD_PLACE = re.compile(r"(-\d+)+$")

may_see = permission_required(SEE_PACKETS, raise_exception=True)
may_request = permission_required(REQUEST_PACKET, raise_exception=True)
may_tick = permission_required(TICK, raise_exception=True)


@require_GET
@may_see
def event(request: HttpRequest, event_id: int) -> HttpResponse:
    """The event on site: its newest packet in the running order."""
    found = queries.event_with_place(event_id)
    if found is None:
        raise Http404("There is no such event.")
    versions = list(queries.packets_of(found))
    made = next((version.pk for version in versions if version.made), None)
    return _page(request, found, versions, queries.whole_packet(made) if made else None)


@require_GET
@may_see
def packet(request: HttpRequest, packet_id: int) -> HttpResponse:
    """Any version of a packet."""
    found = _packet(packet_id)
    return _page(request, found.event, list(queries.packets_of(found.event)), found)


def _page(
    request: HttpRequest, found: Event, versions: list[Packet], shown: Packet | None
) -> HttpResponse:
    context = _packet_context(request, found, versions, shown) | {
        "tab": "event",
        "moment": presenting.next_moment(found, timezone.now()),
        "open_step": request.GET.get("step", ""),
    }
    return render(request, "packets/event.html", context)


def _packet_context(
    request: HttpRequest, found: Event, versions: list[Packet], shown: Packet | None
) -> dict[str, Any]:
    newest = versions[0] if versions else None
    zone, now = found.space.venue.zone, timezone.now()
    steps, shown_steps = [], []
    if shown and shown.made:
        steps = rendering.steps_of(shown, now)
        ticks = queries.ticks_of(shown)
        shown_steps = rendering.shown_steps(request, shown, steps, ticks, zone)
    return {
        "event": found,
        "zone": zone,
        "packet": shown,
        "versions": versions,
        "latest": next((version for version in versions if version.made), None),
        "pending": newest if newest and not newest.made else None,
        "age": presenting.age_words(shown, now) if shown else "",
        "steps": shown_steps,
        "has_sheets": any(slot.sheet for step in steps for slot in step.slots),
        "totals": presenting.tally_words(rendering.totals(steps)),
    }


@require_POST
@may_request
def request_packet(request: HttpRequest, event_id: int) -> HttpResponse:
    found = queries.event_with_place(event_id)
    if found is None:
        raise Http404("There is no such event.")
    newest = queries.packets_of(found).first()
    asked = actions.request_packet(found, _person(request))
    if asked == newest and asked.made:
        messages.info(request, f"Nothing changed since version {asked.number}: it is still right.")
    return redirect("packets:event", found.pk)


@require_GET
@may_see
def progress(request: HttpRequest, packet_id: int) -> HttpResponse:
    """How far the build is; the whole packet in its place once it is made."""
    found = _packet(packet_id)
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect("packets:event", found.event_id)
    if not found.made:
        return render(request, "packets/_progress.html", {"pending": found})
    versions = list(queries.packets_of(found.event))
    context = _packet_context(request, found.event, versions, found)
    response = render(request, "packets/_packet.html", context)
    response["HX-Retarget"], response["HX-Reswap"] = "#packet", "outerHTML"
    return response


@require_GET
@may_see
def freshness(request: HttpRequest, packet_id: int) -> HttpResponse:
    """Whether the packet still says how things stand."""
    found = _packet(packet_id)
    fragment = bool(request.htmx)  # type: ignore[attr-defined]
    context = {"packet": found, "event": found.event, "changes": changes_since(found)}
    page = "packets/_freshness.html" if fragment else "packets/freshness.html"
    return render(request, page, context | {"fragment": fragment, "tab": "event"})


@require_POST
@may_tick
def tick(request: HttpRequest, packet_id: int) -> HttpResponse:
    """Tick a card as seen on site, or take the tick back."""
    found = _packet(packet_id)
    key = request.POST.get("card", "")
    try:
        if request.POST.get("seen") == "no":
            actions.untick(found, key)
        else:
            actions.tick(found, key, _person(request))
    except actions.NotInPacket as fault:
        return HttpResponse(str(fault), status=400, content_type="text/plain")
    anchor = _anchor(request)
    if request.htmx:  # type: ignore[attr-defined]
        zone, ticks = found.event.space.venue.zone, queries.ticks_of(found)
        return HttpResponse(rendering.ticked(request, found, key, anchor, ticks, zone))
    return HttpResponseRedirect(_back_to(anchor, found))


def _anchor(request: HttpRequest) -> str:
    """Where on the page it was ticked; anchors are short words of our own."""
    return "".join(c for c in request.POST.get("anchor", "") if c.isalnum() or c == "-")


def _back_to(anchor: str, found: Packet) -> str:
    """The card on the page of this version, or the entry on its processor's own page."""
    sheet = SHEET_ANCHOR.match(anchor)
    if sheet:
        return f"{reverse('packets:dial_in', args=[found.pk, sheet[1]])}#{anchor}"
    step = CARD_PLACE.sub("", anchor)
    return f"{reverse('packets:packet', args=[found.pk])}?step={step}#{anchor}"


@require_GET
@may_see
def dial_in(request: HttpRequest, packet_id: int, number: int) -> HttpResponse:
    """One processor's dial-in sheet, for the phone beside it."""
    found = _made_packet(packet_id)
    sheet = rendering.sheet_of(found, number, timezone.now())
    if sheet is None:
        raise Http404("This packet has no such dial-in sheet.")
    zone, ticks = found.event.space.venue.zone, queries.ticks_of(found)
    shown = rendering.shown_step(request, found, sheet.step, ticks, zone)
    made = queries.packets_of(found.event).exclude(made_at=None)
    context = {
        "event": found.event,
        "zone": zone,
        "packet": found,
        "newest": made.first(),
        "sheet": sheet.about,
        "outputs": sheet.outputs,
        "others": [one for one in sheet.processors if one["number"] != number],
        "body": shown.body,
    }
    return render(request, "packets/dial_in.html", context)


@require_GET
@may_see
def dial_in_csv(request: HttpRequest, packet_id: int) -> HttpResponse:
    """All dial-in sheets of a packet, a row for each value."""
    found = _with_sheets(packet_id)
    response = HttpResponse(as_csv(found), content_type="text/csv; charset=utf-8; header=present")
    name = f"dial-in-{found.event_id}-version-{found.number}.csv"
    return _named(response, name)


@require_GET
@may_see
def dial_in_json(request: HttpRequest, packet_id: int) -> JsonResponse:
    """All dial-in sheets of a packet."""
    found = _with_sheets(packet_id)
    response = JsonResponse(as_json(found), json_dumps_params={"indent": 1, "ensure_ascii": False})
    name = f"dial-in-{found.event_id}-version-{found.number}.json"
    return _named(response, name)


def _named(response: Answer, name: str, how: str = "attachment") -> Answer:
    """An answer that browsers save, or open, under a name."""
    response["Content-Disposition"] = f'{how}; filename="{name}"'
    return response


def _with_sheets(packet_id: int) -> Packet:
    found = _made_packet(packet_id)
    if not sheets_of(found.sections):
        raise Http404("This packet has no dial-in sheets.")
    return found


@require_GET
@may_see
def pdf(request: HttpRequest, packet_id: int) -> HttpResponse:
    found = _made_packet(packet_id)
    paper = request.GET.get("paper", "a4")
    if paper not in SIZES:
        raise Http404("Paper is a4 or letter.")
    address = request.build_absolute_uri(reverse("packets:packet", args=[found.pk]))
    response = HttpResponse(make_pdf(found, address, paper), content_type="application/pdf")
    name = f"packet-{found.event_id}-version-{found.number}.pdf"
    return _named(response, name, "inline")


@require_GET
@may_see
def description(request: HttpRequest, packet_id: int) -> JsonResponse:
    """What the packet was computed from; `manage.py recompute` reads it."""
    found = _packet(packet_id)
    response = JsonResponse(description_file(found.run), json_dumps_params={"indent": 1})
    name = f"description-{found.run.fingerprint[:12]}.json"
    return _named(response, name)


@require_GET
@may_see
@cache_control(private=True, max_age=24 * 3600)
def picture(request: HttpRequest, packet_id: int, key: str) -> HttpResponse:
    drawn = queries.picture_of(packet_id, key)
    if drawn is None:
        raise Http404("This packet has no such picture.")
    return HttpResponse(themed(drawn), content_type="image/svg+xml")


def _person(request: HttpRequest) -> Person:
    """Who asks; views that need a right are open to people with an account only."""
    assert isinstance(request.user, Person)
    return request.user


def _packet(packet_id: int) -> Packet:
    found = queries.whole_packet(packet_id)
    if found is None:
        raise Http404("There is no such packet.")
    return found


def _made_packet(packet_id: int) -> Packet:
    found = _packet(packet_id)
    if not found.made:
        raise Http404("This packet is not made yet.")
    return found
