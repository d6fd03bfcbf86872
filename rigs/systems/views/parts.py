"""Pages that change placements, amplifiers and processors."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from rigs.events.models import Event
from rigs.systems import actions
from rigs.systems.faults import NotSaved
from rigs.systems.forms import (
    AmplifierPlaceForm,
    PlacementForm,
    ProcessorPlaceForm,
    SeveralForm,
)
from rigs.systems.forms.base import PartForm
from rigs.systems.models import (
    AmplifierPlace,
    DriveLine,
    PartOfRig,
    Placement,
    ProcessorPlace,
)
from rigs.systems.views.rights import demand_change, person
from rigs.versions import ChangedMeanwhile


@dataclass(frozen=True, slots=True)
class PartKind:
    """How one kind of part is named, read and removed."""

    model: type[PartOfRig]
    word: str
    remove: Callable[[Any, int], None]
    form: type[PartForm] | None = None


KINDS = {
    "placement": PartKind(Placement, "placement", actions.remove_placement, PlacementForm),
    "amplifier": PartKind(
        AmplifierPlace, "amplifier", actions.remove_amplifier_place, AmplifierPlaceForm
    ),
    "processor": PartKind(
        ProcessorPlace, "processor", actions.remove_processor_place, ProcessorPlaceForm
    ),
    "line": PartKind(DriveLine, "drive line", actions.remove_line),
}


def part(request: HttpRequest, event_id: int, kind: str, row_id: int | None = None) -> HttpResponse:
    """Add or change one placement, amplifier or processor."""
    demand_change(request)
    event = _event(event_id)
    sort = KINDS[kind]
    assert sort.form is not None
    row = get_object_or_404(sort.model, pk=row_id, event=event) if row_id else None
    called = str(row or "")
    form = sort.form(request.POST or None, event=event, instance=row, seen=seen_version(request))
    if request.method == "POST" and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        again = "another" in request.POST
        return redirect(f"systems:{kind}_new" if again else "systems:rig", event.pk)
    context = {
        "event": event,
        "tab": "rig",
        "form": form,
        "row": row,
        "called": called,
        "word": sort.word,
        "remove_url": f"systems:{kind}_remove",
    }
    return render(request, "systems/part.html", context)


def several(request: HttpRequest, event_id: int) -> HttpResponse:
    """Place several boxes in a row at once."""
    demand_change(request)
    event = _event(event_id)
    form = SeveralForm(request.POST or None, event=event)
    if request.method == "POST" and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Placed {form.cleaned_data['count']} boxes.")
        return redirect("systems:rig", event.pk)
    return render(request, "systems/several.html", {"event": event, "tab": "rig", "form": form})


def remove(request: HttpRequest, event_id: int, kind: str, row_id: int) -> HttpResponse:
    """Ask before removing a part (GET), remove it (POST)."""
    demand_change(request)
    event = _event(event_id)
    sort = KINDS[kind]
    row = sort.model._default_manager.filter(pk=row_id, event=event).first()
    if row is None:
        messages.info(request, f"This {sort.word} is not in the rig any more.")
        return redirect("systems:rig", event.pk)
    fault = ""
    if request.method == "POST":
        try:
            sort.remove(row, seen_version(request) or 0)
        except (NotSaved, ChangedMeanwhile) as refusal:
            fault = str(refusal)
            row.refresh_from_db()
        else:
            messages.success(request, f"Removed {row}.")
            return redirect("systems:rig", event.pk)
    context = {"event": event, "tab": "rig", "row": row, "kind": kind, "word": sort.word}
    return render(request, "systems/remove.html", context | {"fault": fault})


def seen_version(request: HttpRequest) -> int | None:
    """The version that the sent page showed; 0, which no row has, when it does not say."""
    if request.method != "POST":
        return None
    text = request.POST.get("seen", "")
    return int(text) if text.isdecimal() and len(text) < 10 else 0


def _event(event_id: int) -> Event:
    return get_object_or_404(Event.objects.select_related("space__venue"), pk=event_id)
