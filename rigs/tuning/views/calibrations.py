"""Pages of microphone calibrations, which belong to the company and not to one event."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET

from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.systems.faults import NotSaved
from rigs.tuning import queries
from rigs.tuning.actions import remove_calibration
from rigs.tuning.calibrating import range_words
from rigs.tuning.forms import CalibrationForm
from rigs.tuning.models import Calibration
from rigs.tuning.views.rights import may_look, may_measure, person
from rigs.versions import ChangedMeanwhile


@require_GET
@may_look
def calibrations(request: HttpRequest) -> HttpResponse:
    """All calibrations."""
    rows = [{"row": row, "range": range_words(row.curve)} for row in queries.calibrations()]
    context = {"rows": rows, "may_change": person(request).has_perm(MEASURE)}
    return render(request, "tuning/calibrations.html", context)


@may_measure
def calibration(request: HttpRequest, calibration_id: int | None = None) -> HttpResponse:
    """Add a calibration, rename one or replace its lines."""
    row = get_object_or_404(Calibration, pk=calibration_id) if calibration_id else None
    called = str(row or "")
    sent = request.method == "POST"
    form = CalibrationForm(
        request.POST if sent else None,
        request.FILES if sent else None,
        instance=row,
        seen=seen_in(request) if sent else None,
    )
    if sent and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        return redirect("tuning:calibrations")
    context = {"form": form, "row": row, "called": called}
    return render(request, "tuning/calibration.html", context)


@may_measure
def calibration_remove(request: HttpRequest, calibration_id: int) -> HttpResponse:
    """Ask before removing a calibration (GET), remove it (POST)."""
    row = queries.calibrations().filter(pk=calibration_id).first()
    if row is None:
        messages.info(request, "This calibration is not here any more.")
        return redirect("tuning:calibrations")
    fault = ""
    if request.method == "POST":
        try:
            remove_calibration(row, seen_in(request))
        except (NotSaved, ChangedMeanwhile) as refusal:
            fault = str(refusal)
        else:
            messages.success(request, f"Removed {row}.")
            return redirect("tuning:calibrations")
    return render(request, "tuning/calibration_remove.html", {"row": row, "fault": fault})
