"""Pages of target curves: the tool's own, the company's and those of venues."""

from dataclasses import dataclass, replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET

from rigs.people.rights import MEASURE
from rigs.requests import seen_in
from rigs.tuning.actions import remove_target
from rigs.tuning.aiming import HIGHEST_HZ, LOWEST_HZ, MOST_DB, MOST_POINTS, points_words
from rigs.tuning.analyse.fitting import OWN_TARGETS
from rigs.tuning.forms import TargetForm
from rigs.tuning.models import TargetCurve
from rigs.tuning.pictures.targets import Points, boards, small_pictures
from rigs.tuning.views.rights import may_look, may_measure, person
from rigs.versions import ChangedMeanwhile

MOST_DIGITS = 18
LIMITS = {
    "low_hz": f"{LOWEST_HZ:g}",
    "high_hz": f"{HIGHEST_HZ:g}",
    "most_db": f"{MOST_DB:g}",
    "most_points": MOST_POINTS,
}


@dataclass(frozen=True, slots=True)
class Listed:
    """A curve in the list; `row` is None for the tool's own, `begin` names it to copy it."""

    name: str
    row: TargetCurve | None
    begin: str
    points: Points
    picture: str = ""

    @property
    def words(self) -> str:
        """Its points in one line."""
        return points_words(self.points)


@require_GET
@may_look
def targets(request: HttpRequest) -> HttpResponse:
    """All target curves, each with a small picture; all on one scale."""
    rows = TargetCurve.objects.select_related("venue")
    curves = [Listed(str(row), row, f"row:{row.pk}", row.points) for row in rows]
    curves += [Listed(name, None, f"own:{name}", _own_points(name)) for name in OWN_TARGETS]
    pictures = small_pictures([(each.name, each.points) for each in curves])
    listed = [
        replace(each, picture=picture) for each, picture in zip(curves, pictures, strict=True)
    ]
    context = {"curves": listed, "may_change": person(request).has_perm(MEASURE)}
    return render(request, "tuning/targets.html", context)


def _own_points(name: str) -> Points:
    each = OWN_TARGETS[name]
    return list(zip(each["frequency_hz"], each["level_db"], strict=True))


def _begin(key: str) -> Points:
    """The points of the curve that a new one starts from; none where it is not known."""
    kind, _, name = key.partition(":")
    if kind == "own" and name in OWN_TARGETS:
        return _own_points(name)
    if kind == "row" and name.isdecimal() and len(name) < MOST_DIGITS:
        row = TargetCurve.objects.filter(pk=name).first()
        return row.points if row else []
    return []


@may_measure
def target(request: HttpRequest, target_id: int | None = None) -> HttpResponse:
    """Add a target curve or change one."""
    row = get_object_or_404(TargetCurve, pk=target_id) if target_id else None
    called = str(row or "")
    sent = request.method == "POST"
    form = TargetForm(
        request.POST if sent else None,
        instance=row,
        seen=seen_in(request) if sent else None,
        begin=[] if row else _begin(request.GET.get("begin", "")),
    )
    if sent and form.is_valid() and form.save_for(person(request)):
        messages.success(request, f"Saved {form.instance}.")
        return redirect("tuning:targets")
    context = {
        "form": form,
        "row": row,
        "called": called,
        "boards": boards(form.drawn()),
        "limits": LIMITS,
    }
    return render(request, "tuning/target.html", context)


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
