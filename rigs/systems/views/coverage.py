"""The coverage page: a map, a seat, a box tried elsewhere and kept or dropped."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems.faults import NotSaved
from rigs.systems.forms import CoverageForm
from rigs.systems.hearing import Tried, keep, listen, where_on_page
from rigs.systems.views.parts import seen_version
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.versions import ChangedMeanwhile

RESULT = "coverage-result"


def coverage(request: HttpRequest, event_id: int) -> HttpResponse:
    """Show what the address asks for; to htmx only what a change of the form changes."""
    demand_look(request)
    event = read_rig(event_id)
    form = CoverageForm(request.GET, event=event)
    part = request.headers.get("HX-Target") == RESULT
    page = "systems/_coverage_answer.html" if part else "systems/coverage.html"
    answer = render(request, page, _context(request, event, form) | {"part": part})
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


@require_POST
def coverage_keep(request: HttpRequest, event_id: int) -> HttpResponse:
    """Store where a box was tried; when refused, the page says why and keeps what was typed."""
    demand_change(request)
    event = read_rig(event_id)
    form = CoverageForm(request.POST, event=event)
    tried = _tried(form)
    if tried is None:
        if not form.errors:
            form.add_error("box", "Say which box is to be moved.")
    else:
        try:
            keep(tried, seen_version(request) or 0, person(request))
        except NotSaved as refusal:
            for field, sentences in refusal.faults.items():
                for sentence in sentences:
                    form.add_error(field if field in form.fields else "box", sentence)
        except ChangedMeanwhile as meanwhile:
            form.add_error("box", str(meanwhile))
        else:
            messages.success(request, f"Moved {tried.box}.")
            return redirect("systems:coverage", event_id)
    fresh = read_rig(event_id)
    context = _context(request, fresh, form, form_faults=form.faults())
    return render(request, "systems/coverage.html", context | {"part": False})


def _tried(form: CoverageForm) -> Tried | None:
    form.is_valid()
    box, aim = form.placement, form.aim
    return Tried(box, aim) if box is not None and aim is not None else None


def _context(
    request: HttpRequest,
    event: Event,
    form: CoverageForm,
    form_faults: list[tuple[str, str]] | None = None,
) -> dict[str, Any]:
    form.is_valid()
    stored = {box.pk: box for box in event.placements.all()}
    tried = _tried(form)
    if tried is not None:  # as it is stored now, whoever changed it meanwhile
        tried = Tried(stored[tried.box.pk], tried.aim) if tried.box.pk in stored else None
    answer = listen(event, form.chosen, tried, form.seat, form.cleaned_data.get("seat_in", ""))
    answer["maps"] = [where_on_page(picture) for picture in answer["maps"]]
    return answer | {
        "event": event,
        "tab": "rig",
        "section": "coverage",
        "form": form,
        "form_faults": form.faults() if form_faults is None else form_faults,
        "tried": tried,
        "may_change": person(request).has_perm(DESCRIBE_RIG),
    }
