"""Reads of what was measured, each in a number of queries that does not grow."""

from dataclasses import dataclass

from django.db.models import Count, Prefetch, QuerySet

from rigs.events.models import Event
from rigs.systems.models import DriveLine, ListeningSpot
from rigs.tuning.models import Analysis, Calibration, Recording


def recordings(event: Event) -> QuerySet[Recording]:
    """All recordings of an event, newest first, with what a list shows of them."""
    lines = DriveLine.objects.only("name", "event").order_by("name")
    rows = Recording.objects.filter(event=event).select_related(
        "spot", "calibration", "made_by", "event__space"
    )
    return rows.prefetch_related(Prefetch("lines", lines))


def recording(event_id: int, recording_id: int) -> Recording | None:
    """One recording of an event, as `recordings` reads it."""
    rows = recordings(Event(pk=event_id)).select_related("event__space__venue")
    return rows.filter(pk=recording_id).first()


@dataclass(frozen=True, slots=True)
class AtSpot:
    """A listening spot (None: no certain spot) and what was recorded there, newest first."""

    spot: ListeningSpot | None
    recordings: list[Recording]


def by_spot(event: Event) -> list[AtSpot]:
    """The event's recordings at each spot by name, spots without any too; then the rest."""
    found: dict[int | None, list[Recording]] = {}
    for each in recordings(event):
        found.setdefault(each.spot_id, []).append(each)
    spots = ListeningSpot.objects.filter(event=event).order_by("name")
    groups = [AtSpot(spot, found.get(spot.pk, [])) for spot in spots]
    return groups + ([AtSpot(None, found[None])] if None in found else [])


def calibrations() -> QuerySet[Calibration]:
    """All calibrations by name, each with how many recordings use it (`used`)."""
    return Calibration.objects.select_related("changed_by").annotate(used=Count("recordings"))


def latest_analysis(recording: Recording) -> Analysis | None:
    """The analysis of a recording that was asked for last, whatever its state."""
    return recording.analyses.order_by("-asked_at", "-pk").first()


def latest_analyses(event: Event) -> list[Analysis]:
    """The newest done analysis of each recording of an event that has a spot, by spot's name."""
    rows = Analysis.objects.filter(
        recording__event=event, recording__spot__isnull=False, state=Analysis.State.DONE
    )
    newest = rows.order_by("recording_id", "-asked_at", "-pk").distinct("recording_id")
    found = Analysis.objects.filter(pk__in=newest.values("pk")).select_related("recording__spot")
    found = found.prefetch_related("recording__lines")
    return list(found.order_by("recording__spot__name", "recording__made_at", "recording_id"))
