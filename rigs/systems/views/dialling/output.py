"""The page of one output: its form, and beside it what the entries would do."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems import queries
from rigs.systems.describe import freeze
from rigs.systems.describe.dialling.rows import described
from rigs.systems.dialling.output import met_words, shown_output
from rigs.systems.forms import OutputForm
from rigs.systems.models import Output, ProcessorPlace, Revision
from rigs.systems.views.dialling.common import (
    common,
    current,
    current_number,
    listed,
    seen_number,
)
from rigs.systems.views.reading import read_around_output
from rigs.systems.views.rights import demand_change, demand_look, person


def output(request: HttpRequest, event_id: int, place_id: int, number: int) -> HttpResponse:
    """Show an output; make the next revision of what the form sends."""
    demand_look(request)
    event = read_around_output(event_id, place_id, number)
    if request.method == "POST":
        demand_change(request)
        form = _sent_form(request, event, place_id, number)
        do = request.POST.get("do", "save")
        if do == "save" and form.is_valid() and form.save_for(person(request)):
            messages.success(request, f"Saved {form.place}, output {number}.")
            return redirect("systems:output", event_id, place_id, number)
        shown = form
        if do not in ("save", "show"):
            form = form.retyped(request.POST, do)
    else:
        form = shown = _form(event, place_id, number)
    context = common(request, event) | _beside(event, form, shown, number)
    context["form"] = form if person(request).has_perm(DESCRIBE_RIG) else None
    return render(request, "systems/processing/output.html", context)


@require_POST
def output_tried(request: HttpRequest, event_id: int, place_id: int, number: int) -> HttpResponse:
    """What the entries would do: the part beside the form. Stores nothing."""
    demand_change(request)
    event = read_around_output(event_id, place_id, number)
    form = _sent_form(request, event, place_id, number)
    context = common(request, event) | _beside(event, form, form, number)
    return render(request, "systems/processing/_output_answer.html", context | {"part": True})


def _sent_form(request: HttpRequest, event: Event, place_id: int, number: int) -> OutputForm:
    return _form(event, place_id, number, request.POST, seen_number(request))


def _form(
    event: Event, place_id: int, number: int, data: Any = None, seen: int | None = None
) -> OutputForm:
    place = _place(event, place_id)
    stored = _stored(current(event), place, number)
    if stored is None and not 1 <= number <= place.processor.outputs:
        raise Http404("This processor has no such output.")
    return OutputForm(
        data,
        place=place,
        number=number,
        stored=stored,
        seen=current_number(event) if seen is None else seen,
        most=place.processor.filters_per_output,
    )


def _beside(event: Event, form: OutputForm, shown: OutputForm, number: int) -> dict[str, Any]:
    """What the entries of `shown` do; where they can't be read, what is stored does."""
    system = freeze(event)
    faults: list[tuple[str, str]] = []
    wished = described(shown.stored, shown.stored.filters.all()) if shown.stored else None
    if shown.is_bound:
        if shown.can_be_shown:
            wished = described(shown.output(), shown.filters())
        else:
            faults = shown.faults()
    return {
        "place": form.place,
        "number": number,
        "faults": faults,
        "shown": shown_output(system, form.place.name, number, wished),
        "tried": shown.is_bound and not faults,
        "met": _met(event, form) if form.met else None,
    }


def _met(event: Event, form: OutputForm) -> dict[str, Any]:
    """What somebody else saved of this output meanwhile."""
    assert form.met is not None
    stored = _stored(queries.current_revision(event), form.place, form.number)
    return listed(event, form.met) | {"rows": met_words(stored, float(event.temperature_c))}


def _place(event: Event, place_id: int) -> ProcessorPlace:
    found = [each for each in event.processorplaces.all() if each.pk == place_id]
    if not found:
        raise Http404("There is no such processor in this rig.")
    place: ProcessorPlace = found[0]
    return place


def _stored(revision: Revision | None, place: ProcessorPlace, number: int) -> Output | None:
    if revision is None:
        return None
    rows = revision.outputs.all()
    return next((o for o in rows if (o.processor_place_id, o.number) == (place.pk, number)), None)
