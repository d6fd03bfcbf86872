"""All processing of an event at a glance."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rigs.systems import queries
from rigs.systems.describe import freeze
from rigs.systems.describe.dialling.checked import checked_processing
from rigs.systems.dialling.aligning import alignment_rows
from rigs.systems.dialling.overview import about_crossovers, tables
from rigs.systems.views.decisions import beside_overrides
from rigs.systems.views.dialling.common import common, listed
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_look

SHOWN_REVISIONS = 5


def processing(request: HttpRequest, event_id: int) -> HttpResponse:
    """Outputs by processor, crossovers, alignments, the newest revisions."""
    demand_look(request)
    event = read_rig(event_id)
    system = freeze(event)
    checked = checked_processing(system)
    made = queries.revisions(event)
    found = beside_overrides(request, event, about_crossovers(system, checked))
    context = common(request, event) | {
        "fault": checked.fault,
        "processors": tables(event, system, checked),
        "findings": [each for each in found if each.shown.finding.state != "holds"],
        "held": [each for each in found if each.shown.finding.state == "holds"],
        "alignments": alignment_rows(event, checked),
        "revisions": [listed(event, each) for each in made[:SHOWN_REVISIONS]],
        "revision_count": len(made),
    }
    return render(request, "systems/processing/overview.html", context)
