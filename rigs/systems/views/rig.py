"""The page of an event's whole rig."""

from itertools import groupby
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems.describe import (
    CheckedLines,
    Finding,
    checked_lines,
    checked_microphones,
    checked_outputs,
    freeze,
)
from rigs.systems.models import DriveLine, Placement, StageMicrophone
from rigs.systems.pictures import plan_picture
from rigs.systems.pictures.figures import without_subject
from rigs.systems.pictures.limiting import worst_finding
from rigs.systems.unfinished import unfinished
from rigs.systems.views.decisions import beside_overrides, overrides_left_over
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_look, person

NARROW = 340


def rig(request: HttpRequest, event_id: int) -> HttpResponse:
    """Plan, lines with their state, placements, amplifiers by rack, processors, what is open."""
    demand_look(request)
    event = read_rig(event_id)
    system = freeze(event)
    checked = checked_lines(system)
    drawn = bool(system.placements or system.areas)
    feedback = checked_microphones(system, checked)
    context = {
        "event": event,
        "tab": "rig",
        "section": "rig",
        "may_change": person(request).has_perm(DESCRIBE_RIG),
        "plan": plan_picture(system) if drawn else "",
        "plan_narrow": plan_picture(system, width=NARROW) if drawn else "",
        "lines": [_line_row(line, checked) for line in event.drivelines.all()],
        "placements": [_placement_row(box) for box in event.placements.all()],
        "racks": _racks(event),
        "microphones": [_microphone_row(one, feedback) for one in event.stagemicrophones.all()],
        "feedback": beside_overrides(request, event, feedback),
        "findings": beside_overrides(request, event, checked_outputs(system, checked)),
        "left_over": overrides_left_over(request, event, system, checked),
        "open": unfinished(event),
        "fault": checked.fault,
    }
    return render(request, "systems/rig.html", context)


def _line_row(line: DriveLine, checked: CheckedLines) -> dict[str, Any]:
    result = checked.results.get(line.name)
    worst = worst_finding(result) if result else None
    first, last = line.first_channel, line.first_channel + line.width - 1
    return {
        "line": line,
        "channels": f"{first}" if first == last else f"{first} and {last}",
        "state": result.state if result else "cannot check",
        "sentence": without_subject(worst) if worst else "",
        "boxes": list(line.links.all()),
    }


def _placement_row(box: Placement) -> dict[str, Any]:
    return {
        "box": box,
        "where": f"x {box.x_m:g}, y {box.y_m:g}, {box.z_m:g} m high",
        "aim": f"{box.azimuth_deg:g}°, tilt {box.tilt_deg:g}°",
    }


def _microphone_row(one: StageMicrophone, feedback: tuple[Finding, ...]) -> dict[str, Any]:
    states = {finding.subject: finding.state for finding in feedback}
    return {
        "row": one,
        "state": states.get(one.name, "cannot check"),
        "where": f"x {one.x_m:g}, y {one.y_m:g}, {one.z_m:g} m high",
        "faces": f"{one.azimuth_deg:g}°, tilt {one.tilt_deg:g}°",
    }


def _racks(event: Event) -> list[tuple[str, list[Any]]]:
    places = sorted(event.amplifierplaces.all(), key=lambda place: (place.rack, place.name))
    return [(rack, list(inside)) for rack, inside in groupby(places, key=lambda p: p.rack)]
