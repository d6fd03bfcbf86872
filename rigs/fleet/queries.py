"""What the manager's view reads: events ahead, their drive lines, the amplifiers owned."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import Prefetch

from rigs.catalogue.models import Amplifier
from rigs.events.models import Event
from rigs.events.queries import upcoming_events
from rigs.stock.models import Unit
from rigs.systems.models import DriveLine


def events_ahead(now: datetime, days: int | None) -> list[Event]:
    """Events whose kit is not back yet and leaves within so many days; all if None."""
    events = upcoming_events(now)
    if days is not None:
        events = events.filter(out_at__lte=now + timedelta(days=days))
    return list(events)


def lines_of(events: Iterable[Event]) -> list[DriveLine]:
    """All drive lines of the events with their amplifier and unit, in one query."""
    lines = DriveLine.objects.filter(event__in=[event.pk for event in events])
    return list(lines.select_related("amplifier_place__amplifier", "amplifier_place__unit"))


def amplifiers_with_units() -> list[Amplifier]:
    """All amplifier types with the units that are still there, in two queries."""
    units = Unit.objects.exclude(state=Unit.State.GONE).order_by("serial")
    return list(
        Amplifier.objects.order_by("maker", "model").prefetch_related(Prefetch("units", units))
    )
