"""Overriding findings, confirming as the second person, noting limiters as set."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from rigs.events.models import Event
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems import actions, queries
from rigs.systems.describe import (
    MAINS_CHECKS,
    WEIGHT_CHECKS,
    CheckedLines,
    Finding,
    SystemDescription,
    checked_few,
    checked_lines,
    checked_microphones,
    checked_outputs,
    checked_sums,
    freeze,
)
from rigs.systems.faults import NotSaved
from rigs.systems.forms import OverrideForm
from rigs.systems.limiters import set_limiter
from rigs.systems.models import DriveLine, Override
from rigs.systems.models.decisions import MAINS, OVERLOAD
from rigs.systems.pictures.figures import ShownFinding, shown_findings
from rigs.systems.standing import Shown, shown_overrides
from rigs.systems.views.reading import read_rig
from rigs.systems.views.rights import demand_change, person


@dataclass(frozen=True, slots=True)
class WithOverride:
    """A finding, the override beside it, and where to give one."""

    shown: ShownFinding
    override: Shown | None
    give_url: str


def beside_overrides(
    request: HttpRequest, event: Event, findings: Iterable[Finding]
) -> list[WithOverride]:
    """Findings, worst first, each with its override. Adds no figure and changes no state."""
    found = list(findings)
    may = person(request).has_perm(DESCRIBE_RIG)
    overrides = shown_overrides(
        queries.open_overrides(event),
        found,
        now=timezone.now(),
        zone=ZoneInfo(event.space.venue.zone),
        viewer=person(request),
        may_change=may,
    )
    return [_with_override(event, each, overrides, may) for each in shown_findings(found)]


def _with_override(
    event: Event, shown: ShownFinding, overrides: dict[tuple[str, str], Shown], may: bool
) -> WithOverride:
    finding = shown.finding
    override = overrides.get((finding.subject, finding.check))
    give = ""
    if may and finding.state != "holds" and not (override and override.answered):
        asked = urlencode({"subject": finding.subject, "check": finding.check})
        give = f"{reverse('systems:override_new', args=[event.pk])}?{asked}"
    return WithOverride(shown, override, give)


def overrides_left_over(
    request: HttpRequest, event: Event, system: SystemDescription, checked: CheckedLines
) -> list[Shown]:
    """Overrides whose finding is gone: no finding's place on the pages shows them."""
    overrides = queries.open_overrides(event)
    if not overrides or checked.fault or checked_sums(system).fault:
        return []  # what cannot be checked is not gone
    found = _findings(system, checked)
    shown = shown_overrides(
        overrides,
        found.values(),
        now=timezone.now(),
        zone=ZoneInfo(event.space.venue.zone),
        viewer=person(request),
        may_change=False,
    )
    return [each for key, each in shown.items() if key not in found]


def override_new(request: HttpRequest, event_id: int) -> HttpResponse:
    """Give an override: the finding again, then reason and expiry."""
    demand_change(request)
    event = read_rig(event_id)
    subject, check = request.GET.get("subject", ""), request.GET.get("check", "")
    finding = _findings_of(event).get((subject, check))
    form = OverrideForm(request.POST or None, event=event)
    if finding is not None and request.method == "POST" and form.is_valid():
        if request.POST.get("seen") != finding.sentence:
            form.add_error(None, "The finding has changed meanwhile. Read it again, then decide.")
        elif form.save_for(finding, person(request)):
            messages.success(request, _given(finding))
            return redirect(_home(event, subject, check))
    context = {
        "event": event,
        "tab": "rig",
        "form": form,
        "finding": shown_findings([finding])[0] if finding else None,
        "second": check in OVERLOAD | MAINS,
        "home": _home(event, subject, check),
    }
    return render(request, "systems/override.html", context)


def _given(finding: Finding) -> str:
    if finding.check in OVERLOAD | MAINS:
        return "Noted. It is not in force before a second person confirms it."
    return "Overridden. The finding stays as it is; your name and reason stand beside it."


@require_POST
def override_confirm(request: HttpRequest, event_id: int, override_id: int) -> HttpResponse:
    """Be the second person."""
    demand_change(request)
    override = _override(event_id, override_id)
    event = read_rig(event_id)
    finding = _findings_of(event).get((override.subject, override.check_key))
    try:
        actions.confirm_override(override, finding, person(request))
    except NotSaved as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Confirmed: {override}.")
    return redirect(_home(event, override.subject, override.check_key))


@require_POST
def override_withdraw(request: HttpRequest, event_id: int, override_id: int) -> HttpResponse:
    """End an override now."""
    demand_change(request)
    override = _override(event_id, override_id)
    actions.withdraw(override, person(request))
    messages.success(request, f"Withdrawn: {override}.")
    return redirect(_home(override.event, override.subject, override.check_key))


@require_POST
def limiter_set(request: HttpRequest, event_id: int, line_id: int) -> HttpResponse:
    """Note that the thresholds shown are set at the processor now."""
    demand_change(request)
    event = read_rig(event_id)
    row = next((each for each in event.drivelines.all() if each.pk == line_id), None)
    if row is None:
        raise Http404("There is no such drive line.")
    system = freeze(event)
    result = checked_few(system, {row.name}).results.get(row.name)
    if result is None:
        messages.error(request, "This line cannot be checked: there is nothing to set.")
        return redirect("systems:line", event_id, line_id)
    try:
        set_limiter(system, row, result, request.POST.get("made_for", ""), person(request))
    except NotSaved as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Noted: the limiter of {row} is set.")
    return redirect("systems:line", event_id, line_id)


def _override(event_id: int, override_id: int) -> Override:
    rows = Override.objects.select_related("event__space__venue", "person")
    return get_object_or_404(rows, pk=override_id, event=event_id)


def _findings_of(event: Event) -> dict[tuple[str, str], Finding]:
    system = freeze(event)
    return _findings(system, checked_lines(system))


def _findings(system: SystemDescription, checked: CheckedLines) -> dict[tuple[str, str], Finding]:
    """Everything that the rig's pages find, by subject and check; the first of each counts."""
    found = [f for result in checked.results.values() for f in result.findings]
    found += checked_outputs(system, checked)
    found += checked_microphones(system, checked)
    found += checked_sums(system).findings((*MAINS_CHECKS, *WEIGHT_CHECKS))
    return {(finding.subject, finding.check): finding for finding in reversed(found)}


def _home(event: Event, subject: str, check: str) -> str:
    """The page that shows a finding."""
    if check in MAINS_CHECKS:
        return reverse("systems:mains", args=[event.pk])
    if check in WEIGHT_CHECKS:
        return reverse("systems:weights", args=[event.pk])
    line: Any = DriveLine.objects.filter(event=event, name=subject).first()
    if line is None:
        return reverse("systems:rig", args=[event.pk])
    return reverse("systems:line", args=[event.pk, line.pk])
