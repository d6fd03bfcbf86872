"""Pages that change placements, amplifiers and processors."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from rigs.events.models import Event
from rigs.requests import seen_in
from rigs.systems import actions
from rigs.systems.faults import NotSaved
from rigs.systems.forms import (
    AlignmentForm,
    AmplifierPlaceForm,
    ChoicesForm,
    FeedForm,
    LoadForm,
    MeasuredForm,
    MicrophoneForm,
    MixerPlaceForm,
    PlacementForm,
    ProcessorPlaceForm,
    SeveralForm,
    SpotForm,
    SupportForm,
)
from rigs.systems.forms.base import PartForm
from rigs.systems.models import (
    Alignment,
    AmplifierPlace,
    DriveLine,
    ExtraLoad,
    InRig,
    ListeningSpot,
    MeasuredResponse,
    MixerPlace,
    Placement,
    ProcessorPlace,
    RackFeed,
    RigChoice,
    StageMicrophone,
    Support,
)
from rigs.systems.views.rights import demand_change, person
from rigs.versions import ChangedMeanwhile


@dataclass(frozen=True, slots=True)
class PartKind:
    """How one kind of part is named, read and removed."""

    model: type[InRig]
    word: str
    remove: Callable[[Any, int], None]
    form: type[PartForm] | None = None
    home: str = "systems:rig"


KINDS = {
    "placement": PartKind(Placement, "placement", actions.remove_placement, PlacementForm),
    "amplifier": PartKind(
        AmplifierPlace, "amplifier", actions.remove_amplifier_place, AmplifierPlaceForm
    ),
    "processor": PartKind(
        ProcessorPlace, "processor", actions.remove_processor_place, ProcessorPlaceForm
    ),
    "line": PartKind(DriveLine, "drive line", actions.remove_line),
    "mixer": PartKind(MixerPlace, "mixer", actions.remove_mixer_place, MixerPlaceForm),
    "feed": PartKind(RackFeed, "mains cable", actions.remove_feed, FeedForm, "systems:mains"),
    "support": PartKind(Support, "support", actions.remove_support, SupportForm, "systems:weights"),
    "load": PartKind(ExtraLoad, "extra load", actions.remove_load, LoadForm, "systems:weights"),
    "spot": PartKind(
        ListeningSpot, "listening spot", actions.remove_spot, SpotForm, "systems:alignments"
    ),
    "alignment": PartKind(
        Alignment, "alignment", actions.remove_alignment, AlignmentForm, "systems:alignments"
    ),
    "response": PartKind(
        MeasuredResponse,
        "measured response",
        actions.remove_measured,
        MeasuredForm,
        "systems:alignments",
    ),
    "microphone": PartKind(
        StageMicrophone, "stage microphone", actions.remove_microphone, MicrophoneForm
    ),
}


def part(request: HttpRequest, event_id: int, kind: str, row_id: int | None = None) -> HttpResponse:
    """Add or change one part of a rig."""
    demand_change(request)
    event = _event(event_id)
    sort = KINDS[kind]
    assert sort.form is not None
    row = get_object_or_404(sort.model, pk=row_id, event=event) if row_id else None
    called = str(row or "")
    form = sort.form(
        request.POST or None,
        request.FILES or None,
        event=event,
        instance=row,
        seen=seen_version(request),
        initial={} if row else request.GET.dict(),
    )
    if request.method == "POST" and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        again = "another" in request.POST
        return redirect(f"systems:{kind}_new" if again else sort.home, event.pk)
    context = {
        "event": event,
        "tab": "rig",
        "form": form,
        "row": row,
        "called": called,
        "word": sort.word,
        "remove_url": f"systems:{kind}_remove",
        "several": kind not in ("mixer",),
        "home": sort.home if sort.home == "systems:alignments" else "",
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
        return redirect(sort.home, event.pk)
    fault = ""
    if request.method == "POST":
        try:
            sort.remove(row, seen_version(request) or 0)
        except (NotSaved, ChangedMeanwhile) as refusal:
            fault = str(refusal)
            row.refresh_from_db()
        else:
            messages.success(request, f"Removed {row}.")
            return redirect(sort.home, event.pk)
    context = {
        "event": event,
        "tab": "rig",
        "row": row,
        "kind": kind,
        "word": sort.word,
        "home": sort.home,
        "fault": fault,
    }
    return render(request, "systems/remove.html", context)


def choices(request: HttpRequest, event_id: int) -> HttpResponse:
    """What the sums of one event stand on."""
    demand_change(request)
    event = _event(event_id)
    row = RigChoice.objects.filter(event=event).first()
    form = ChoicesForm(request.POST or None, event=event, instance=row, seen=seen_version(request))
    if request.method == "POST" and form.is_valid() and form.save_for(person(request)):
        messages.success(request, "Saved the choices.")
        return redirect("systems:rig", event.pk)
    context = {"event": event, "tab": "rig", "form": form, "row": row}
    return render(request, "systems/choices.html", context)


def seen_version(request: HttpRequest) -> int | None:
    """The version that the sent page showed; 0, which no row has, when it does not say."""
    if request.method != "POST":
        return None
    return seen_in(request)


def _event(event_id: int) -> Event:
    return get_object_or_404(Event.objects.select_related("space__venue"), pk=event_id)
