"""Where to measure, and how the spots compare."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rigs.people.rights import DESCRIBE_RIG, MEASURE
from rigs.systems.views.reading import read_rig
from rigs.tuning import queries
from rigs.tuning.analyse.comparing import shown_spots
from rigs.tuning.views.rights import may_look, person


@require_GET
@may_look
def spots(request: HttpRequest, event_id: int) -> HttpResponse:
    """The listening spots on the plan, what each hears, where they disagree, what to expect."""
    event = read_rig(event_id)
    context = {
        "event": event,
        "tab": "tuning",
        "shown": shown_spots(event, queries.latest_analyses(event)),
        "may_measure": person(request).has_perm(MEASURE),
        "may_place": person(request).has_perm(DESCRIBE_RIG),
    }
    return render(request, "tuning/spots.html", context)
