"""The page of one drive line: its picture, what-if, findings, limiter, ladder, form."""

from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.cache import patch_vary_headers

from rigs.events.clocks import said_time
from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems import queries
from rigs.systems.describe import (
    Finding,
    checked_lines,
    checked_outputs,
    cut_to_lines,
    freeze,
    lines_beside,
)
from rigs.systems.forms import LineForm
from rigs.systems.limiters import shown_limiter
from rigs.systems.models import DriveLine
from rigs.systems.pictures import gain_ladder_picture, wiring_picture
from rigs.systems.pictures.figures import shown_figures
from rigs.systems.pictures.gains import aligned_words, hiss_words
from rigs.systems.views.decisions import beside_overrides
from rigs.systems.views.parts import seen_version
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, demand_look, person
from rigs.systems.views.what_if import RESULT, is_asked, tried


def line(request: HttpRequest, event_id: int, line_id: int) -> HttpResponse:
    """Show a drive line as it is stored; save its form; answer a what-if."""
    demand_look(request)
    if request.method != "POST":
        if is_asked(request) and request.headers.get("HX-Target") == RESULT:
            return _before_and_after(request, event_id, line_id)
        return line_page(request, event_id, line_id)
    demand_change(request)
    row = get_object_or_404(
        DriveLine.objects.select_related("event", "amplifier_place__amplifier"),
        pk=line_id,
        event=event_id,
    )
    form, saved = _sent(request, row.event, row)
    if saved:
        return redirect("systems:line", event_id, row.pk)
    return line_page(request, event_id, line_id, form)


def _before_and_after(request: HttpRequest, event_id: int, line_id: int) -> HttpResponse:
    """The part of the page that a what-if changes."""
    answer = render(request, "systems/_what_if_result.html", tried(request, event_id, line_id))
    patch_vary_headers(answer, ("HX-Request", "HX-Target"))
    return answer


def line_page(
    request: HttpRequest,
    event_id: int,
    line_id: int,
    form: LineForm | None = None,
    what_if: dict[str, Any] | None = None,
) -> HttpResponse:
    """The whole page; `form` and `what_if` with what was sent and refused."""
    what_if = tried(request, event_id, line_id) if what_if is None else what_if
    event = read_rig(event_id)
    stored = next(each for each in event.drivelines.all() if each.pk == line_id)
    if form is None and person(request).has_perm(DESCRIBE_RIG):
        form = LineForm(event=event, instance=stored)
    context = what_if | {
        "event": event,
        "tab": "rig",
        "line": stored,
        "form": form,
        "may_change": person(request).has_perm(DESCRIBE_RIG),
    }
    return render(request, "systems/line.html", context | _shown(request, event, stored))


def line_new(request: HttpRequest, event_id: int) -> HttpResponse:
    """Describe a new drive line."""
    demand_change(request)
    event = get_object_or_404(Event.objects.select_related("space__venue"), pk=event_id)
    if request.method == "POST":
        form, saved = _sent(request, event, None)
        if saved:
            return redirect("systems:line", event_id, form.instance.pk)
    else:
        form = LineForm(event=event)
        form.rows[0].initial["box"] = request.GET.get("box", "")
    context = {"event": event, "tab": "rig", "form": form}
    return render(request, "systems/line_new.html", context)


def _sent(request: HttpRequest, event: Event, row: DriveLine | None) -> tuple[LineForm, bool]:
    """What a page sent: more or fewer rows to fill in, or entries to save."""
    data: QueryDict = request.POST
    do = data.get("do", "save")
    form = LineForm(data, event=event, instance=row, seen=seen_version(request))
    if do != "save":
        return form.retyped(data, do), False
    if form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        return form, True
    return form, False


def _shown(request: HttpRequest, event: Event, row: DriveLine) -> dict[str, Any]:
    """Pictures, figures and findings of a line, or why there are none."""
    system = freeze(event)
    cut = cut_to_lines(system, lines_beside(system, row.name))
    checked = checked_lines(cut)
    result = checked.results.get(row.name)
    if result is None:
        return {"result": None, "fault": checked.fault}
    drawn = next(each for each in system.drive_lines if each.name == row.name)
    beside = [f for f in checked_outputs(cut, checked) if _touches(f, row)]
    ladder = result.ladder
    note = queries.limiter_note(row)
    zone = ZoneInfo(event.space.venue.zone)
    return {
        "result": result,
        "picture": wiring_picture(result, drawn, system),
        "picture_upright": wiring_picture(result, drawn, system, upright=True),
        "ladder": ladder,
        "ladder_picture": gain_ladder_picture(ladder) if ladder else "",
        "ladder_upright": gain_ladder_picture(ladder, upright=True) if ladder else "",
        "hiss": hiss_words(ladder) if ladder else None,
        "aligned": aligned_words(ladder) if ladder else "",
        "limiter": shown_limiter(system, row, result, note),
        "limiter_set_at": said_time(note.at.astimezone(zone)) if note else "",
        "findings": beside_overrides(request, event, [*result.findings, *beside]),
        "figures": shown_figures(result),
    }


def _touches(finding: Finding, row: DriveLine) -> bool:
    """Whether a finding about what lines share speaks of this line."""
    output = f"{row.processor_place}, output {row.output}"
    boxes = {str(link.placement) for link in row.links.all()}
    return finding.subject in {output, f"Line {row}", str(row.amplifier_place), *boxes}
