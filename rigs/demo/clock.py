"""From 'so many days from today, at this local time' to UTC."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from rigs.demo.shapes import EventPlan, Moment

TIMES = ("out", "load_in", "start", "end", "back")


def at(first_day: date, moment: Moment, zone: ZoneInfo) -> datetime:
    """A local time of the venue as UTC. An hour that the clocks skip becomes the next one."""
    days, local = moment
    there = datetime.combine(first_day + timedelta(days=days), time.fromisoformat(local), zone)
    return there.astimezone(UTC)


def times_of(plan: EventPlan, today: date, zone: str) -> dict[str, datetime]:
    """UTC times of an event by the names of `TIMES`."""
    first_day, where = today + timedelta(days=plan.day), ZoneInfo(zone)
    return {name: at(first_day, getattr(plan, name), where) for name in TIMES}
