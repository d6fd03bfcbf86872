"""Reads of what was measured, each in a number of queries that does not grow."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Case, Count, Prefetch, QuerySet, When

from rigs.events.models import Event
from rigs.systems.models import DriveLine, Link, ListeningSpot, ProcessorPlace
from rigs.tuning.models import Analysis, Calibration, Equalisation, NotchPlan, Recording

MOST_BEFORE = 12


def recordings(event: Event) -> QuerySet[Recording]:
    """All recordings of an event, newest first, with what a list shows of them."""
    lines = DriveLine.objects.only("name", "event").order_by("name")
    rows = Recording.objects.filter(event=event).select_related(
        "spot", "microphone", "calibration", "made_by", "event__space"
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


def equalisations(event: Event) -> QuerySet[Equalisation]:
    """All fits of an event, newest first, without what they read and found."""
    rows = Equalisation.objects.filter(event=event).defer("inputs", "result")
    return rows.select_related("processor_place", "asked_by", "accepted_as")


def equalisation(event_id: int, fit_id: int) -> Equalisation | None:
    """One fit of an event, whole."""
    rows = Equalisation.objects.filter(event_id=event_id, pk=fit_id)
    return rows.select_related(
        "processor_place__processor", "asked_by", "accepted_by", "accepted_as"
    ).first()


def taken_here_before(event: Event) -> list[Equalisation]:
    """Fits that were taken at earlier events of the venue, the same space and newest first."""
    earlier = Equalisation.objects.filter(
        accepted_as__isnull=False,
        event__space__venue=event.space.venue_id,
        event__show_from__lt=event.show_from,
    )
    held = earlier.exclude(event__state=Event.State.CANCELLED).exclude(event=event)
    rows = held.select_related("event__space", "processor_place", "accepted_as", "accepted_by")
    elsewhere = Case(When(event__space=event.space_id, then=0), default=1)
    return list(rows.order_by(elsewhere, "-event__show_from", "part", "-pk")[:MOST_BEFORE])


def box_types(place_ids: Iterable[int]) -> dict[tuple[int, int], set[str]]:
    """What hangs on the outputs of some processor places: the names of the loudspeakers."""
    links = Link.objects.filter(line__processor_place__in=place_ids)
    rows = links.select_related("line", "placement__loudspeaker")
    found: dict[tuple[int, int], set[str]] = {}
    for link in rows:
        if link.line.processor_place_id is not None and link.line.output is not None:
            key = (link.line.processor_place_id, link.line.output)
            found.setdefault(key, set()).add(str(link.placement.loudspeaker))
    return found


def taken_since(place: ProcessorPlace, number: int, when: datetime) -> list[Equalisation]:
    """Fits that went into an output after a moment, oldest first."""
    rows = Equalisation.objects.filter(
        processor_place=place, outputs__contains=number, accepted_as__made_at__gt=when
    )
    return list(rows.order_by("accepted_as__number"))


def loop_recordings(event: Event) -> list[Recording]:
    """The newest sweep of each stage microphone, by the microphone's name."""
    rows = Recording.objects.filter(
        event=event, microphone__isnull=False, content=Recording.Content.SWEEP
    )
    newest = rows.order_by("microphone_id", "-made_at", "-pk").distinct("microphone_id")
    found = Recording.objects.filter(pk__in=newest.values("pk")).select_related("microphone")
    return list(found.order_by("microphone__name"))


def notch_plans(event: Event) -> QuerySet[NotchPlan]:
    """All notch plans of an event, newest first, without what they found."""
    return NotchPlan.objects.filter(event=event).defer("result").select_related("asked_by")


def latest_notch_plan(event: Event) -> NotchPlan | None:
    """The newest plan that is done."""
    return NotchPlan.objects.filter(event=event, state=NotchPlan.State.DONE).first()


def notch_plan(event_id: int, plan_id: int) -> NotchPlan | None:
    """One plan of an event, whole."""
    rows = NotchPlan.objects.filter(event_id=event_id, pk=plan_id)
    return rows.select_related("asked_by", "event__space__venue").first()
