"""Local times of a venue: reading what people typed, and what a clock change does to it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

MINUTE = timedelta(minutes=1)
MOST_NOTES = 2  # a year has two changes


class NoSuchTime(ValueError):
    """The clocks jump over this local time."""


class TwiceThatDay(ValueError):
    """This local time comes twice; say which one is meant."""


@dataclass(frozen=True)
class ClockChange:
    """At the instant `at`, local clocks jump by `shift` (negative: back)."""

    at: datetime
    shift: timedelta

    def before(self, zone: ZoneInfo) -> datetime:
        """What the clocks show at the change if nobody turned them."""
        return (self.at - MINUTE).astimezone(zone).replace(tzinfo=None) + MINUTE


def to_utc(local: datetime, zone: ZoneInfo, which: str = "") -> datetime:
    """The instant of a naive local time; `which` ("first" or "second") where it comes twice."""
    early, late = (local.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if early.utcoffset() == late.utcoffset():
        return early.astimezone(UTC)
    if early.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != local:
        raise NoSuchTime(_no_such_time(local, zone))
    if which not in ("first", "second"):
        raise TwiceThatDay(
            f"{local:%H:%M} comes twice on {said_day(local)} in {zone.key}: the clocks go back. "
            "Choose below whether you mean the first or the second."
        )
    return (early if which == "first" else late).astimezone(UTC)


def _no_such_time(local: datetime, zone: ZoneInfo) -> str:
    day = local.replace(tzinfo=UTC)
    change = next(clock_changes(zone, day - timedelta(days=2), day + timedelta(days=2)))
    before = change.before(zone)
    return (
        f"There is no {local:%H:%M} on {said_day(local)} in {zone.key}: the clocks go forward "
        f"from {before:%H:%M} to {before + change.shift:%H:%M}."
    )


def comes_twice(instant: datetime, zone: ZoneInfo) -> str:
    """ "first" or "second" if the instant's local time comes twice, else an empty string."""
    local = instant.astimezone(zone)
    early, late = (local.replace(fold=fold) for fold in (0, 1))
    if early.utcoffset() == late.utcoffset():
        return ""
    return "second" if local.fold else "first"


def clock_changes(zone: ZoneInfo, start: datetime, end: datetime) -> Iterator[ClockChange]:
    """Every clock change of the zone between two instants, in order."""
    step = timedelta(days=7)  # no zone changes twice within a week for good
    low = start
    while low < end:
        high = min(low + step, end)
        if _offset(low, zone) != _offset(high, zone):
            yield _find_change(zone, low, high)
        low = high


def _offset(instant: datetime, zone: ZoneInfo) -> timedelta:
    return instant.astimezone(zone).utcoffset() or timedelta(0)


def _find_change(zone: ZoneInfo, low: datetime, high: datetime) -> ClockChange:
    """Halve the span until the minute of the change is found."""
    before, after = _offset(low, zone), _offset(high, zone)
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) / 2
        low, high = (low, middle) if _offset(middle, zone) == after else (middle, high)
    at = high.replace(microsecond=0)
    return ClockChange(at, after - before)


def clock_notes(zone: ZoneInfo, start: datetime, end: datetime) -> list[str]:
    """What to tell people whose event has a clock change inside it, at most MOST_NOTES."""
    changes = list(clock_changes(zone, start, end))
    notes = []
    real = end - start
    shown = real + sum((c.shift for c in changes), timedelta(0))
    for change in changes[:MOST_NOTES]:
        way = "back" if change.shift < timedelta(0) else "forward"
        local = change.before(zone)
        notes.append(
            f"Clocks go {way} on {said_time(local)}: from kit out to kit back the event lasts "
            f"{said_length(real)}, not {said_length(shown)}."
        )
    return notes


# --- How times are said --------------------------------------------------------------------


def said_day(moment: datetime) -> str:
    """Sun 14 Mar"""
    return f"{moment:%a} {moment.day} {moment:%b}"


def said_time(moment: datetime) -> str:
    """Sun 14 Mar 02:00"""
    return f"{said_day(moment)} {moment:%H:%M}"


def said_length(length: timedelta) -> str:
    """31 h, 45 min, 1 h 30 min"""
    minutes = round(length.total_seconds() / 60)
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    parts += [f"{rest} min"] if rest or not hours else []
    return " ".join(parts)
