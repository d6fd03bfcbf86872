"""The kit list's page and its fragments."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.vary import vary_on_headers

from rigs.catalogue.models import Item
from rigs.events.forms import KitForm, RowForm
from rigs.events.kit_page import KitPage, drawing, kit_page, results
from rigs.events.models import Event, KitRow
from rigs.events.quantities import fault_of, quantity_in
from rigs.events.timeline import timeline
from rigs.people.rights import BUILD_KIT, SEE_PACKETS
from rigs.requests import PageRequest

sees_kit = permission_required(SEE_PACKETS, raise_exception=True)
builds_kit = permission_required(BUILD_KIT, raise_exception=True)


@sees_kit
@vary_on_headers("HX-Request")
def kit(request: PageRequest, event_id: int) -> HttpResponse:
    event = _event(event_id)
    if request.method == "POST":
        return change_kit(request, event)
    return _page(request, kit_page(event, _q(request), _shown(request)))


@builds_kit
def change_kit(request: PageRequest, event: Event) -> HttpResponse:
    """One button of the page's form. What could not be done comes back as it was typed."""
    form = KitForm(event, request.POST.dict())
    done = form.apply()
    searched_anew = _q(request) != request.POST.get("searched", "").strip()
    said = " ".join(form.said)
    shown = form.added or (None if searched_anew else _shown(request))
    if done and not request.htmx:
        if said:
            messages.success(request, said)
        return redirect(_address(event, _q(request), shown))
    page = kit_page(event, _q(request), shown, form.typed)
    return _keep_address(_page(request, page, said=said), event, _q(request), shown)


@sees_kit
def search(request: PageRequest, event_id: int) -> HttpResponse:
    """What is found and free, and the timeline of the first: a fragment."""
    event = _event(event_id)
    found = results(event, _q(request))
    context = {
        "event": event,
        "page": {
            "q": _q(request),
            "results": found,
            "number_fault": fault_of(quantity_in(_q(request))[0]),
            "drawing": drawing(event, None, found),
        },
        "places": KitRow.Place.values,
        "with_timeline": True,
        "may_build": request.user.has_perm(BUILD_KIT),
    }
    fragment = render(request, "events/_results.html", context)
    return _keep_address(fragment, event, _q(request), None)


@sees_kit
def show_timeline(request: PageRequest, event_id: int, item_id: int) -> HttpResponse:
    event, item = _event(event_id), get_object_or_404(Item, pk=item_id)
    if not request.htmx:
        return redirect(_address(event, _q(request), item.pk))
    context = {"event": event, "drawing": timeline(event, item)}
    return render(request, "events/_timeline.html", context)


@builds_kit
def row(request: PageRequest, event_id: int, row_id: int) -> HttpResponse:
    rows = KitRow.objects.select_related("item", "event__space__venue")
    shown = get_object_or_404(rows, pk=row_id, event=event_id)
    form = RowForm(shown, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        if saved is not None:
            messages.success(request, f"{saved.item}: saved.")
            return redirect("events:kit", event_id)
    context = {"event": shown.event, "row": shown, "form": form, "tab": "kit"}
    return render(request, "events/row.html", context)


def _page(request: PageRequest, page: KitPage, said: str = "") -> HttpResponse:
    context: dict[str, Any] = {
        "event": page.event,
        "tab": "kit",
        "page": page,
        "said": said,
        "places": KitRow.Place.values,
        "may_build": request.user.has_perm(BUILD_KIT) and page.event.state != "cancelled",
    }
    template = "events/_kit.html" if request.htmx else "events/kit.html"
    return render(request, template, context)


def _event(event_id: int) -> Event:
    return get_object_or_404(Event.objects.select_related("space__venue"), pk=event_id)


def _q(request: PageRequest) -> str:
    return str(request.POST.get("q") or request.GET.get("q") or "").strip()[:80]


def _shown(request: PageRequest) -> int | None:
    text = str(request.POST.get("shown") or request.GET.get("shown") or "")
    return int(text) if text.isdigit() and len(text) < 10 else None


def _keep_address(fragment: HttpResponse, event: Event, q: str, shown: int | None) -> HttpResponse:
    """Have the browser's address say what is shown, so that loading it again shows the same."""
    fragment["HX-Replace-Url"] = _address(event, q, shown)
    return fragment


def _address(event: Event, q: str, shown: int | None) -> str:
    state = {name: value for name, value in (("q", q), ("shown", shown)) if value}
    return reverse("events:kit", args=[event.pk]) + (f"?{urlencode(state)}" if state else "")
