"""Pages of target curves: the tool's own, the company's and those of venues."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET

from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.tuning.actions import remove_target
from rigs.tuning.aiming import points_words
from rigs.tuning.analyse.fitting import OWN_TARGETS
from rigs.tuning.forms import TargetForm
from rigs.tuning.models import TargetCurve
from rigs.tuning.views.rights import may_look, may_measure, person
from rigs.versions import ChangedMeanwhile


@require_GET
@may_look
def targets(request: HttpRequest) -> HttpResponse:
    """All target curves."""
    own = [
        (name, points_words(list(zip(each["frequency_hz"], each["level_db"], strict=True))))
        for name, each in OWN_TARGETS.items()
    ]
    rows = TargetCurve.objects.select_related("venue")
    drawn = [{"row": row, "points": points_words(row.points)} for row in rows]
    context = {"own": own, "rows": drawn, "may_change": person(request).has_perm(MEASURE)}
    return render(request, "tuning/targets.html", context)


@may_measure
def target(request: HttpRequest, target_id: int | None = None) -> HttpResponse:
    """Add a target curve or change one."""
    row = get_object_or_404(TargetCurve, pk=target_id) if target_id else None
    called = str(row or "")
    sent = request.method == "POST"
    form = TargetForm(
        request.POST if sent else None, instance=row, seen=seen_in(request) if sent else None
    )
    if sent and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        return redirect("tuning:targets")
    return render(request, "tuning/target.html", {"form": form, "row": row, "called": called})


@may_measure
def target_remove(request: HttpRequest, target_id: int) -> HttpResponse:
    """Ask before removing a target curve (GET), remove it (POST)."""
    row = TargetCurve.objects.select_related("venue").filter(pk=target_id).first()
    if row is None:
        messages.info(request, "This target curve is not here any more.")
        return redirect("tuning:targets")
    fault = ""
    if request.method == "POST":
        try:
            remove_target(row, seen_in(request))
        except ChangedMeanwhile as meanwhile:
            fault = str(meanwhile)
        else:
            messages.success(request, f"Removed {row}.")
            return redirect("tuning:targets")
    return render(request, "tuning/target_remove.html", {"row": row, "fault": fault})
