"""The manager's view over the fleet."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from rigs.fleet import grid, queries
from rigs.fleet.forms import LoadingForm
from rigs.fleet.loading import loadings
from rigs.people.rights import SEE_LOADING


@permission_required(SEE_LOADING, raise_exception=True)
def loading(request: HttpRequest) -> HttpResponse:
    amplifiers = queries.amplifiers_with_units()
    form = LoadingForm(request.GET, amplifiers)
    days, wanted = form.wanted()
    events = queries.events_ahead(timezone.now(), days)
    found = loadings(events)
    context = {
        "form": form,
        "grid": grid.build(found.lines, amplifiers, wanted),
        "mains": found.mains,
        "wanted": wanted,
        "events": len(events),
    }
    return render(request, "fleet/loading.html", context)
