"""A packet as its page shows it: ages, times and states in words."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from rigs.events.models import Event
from rigs.packets.compute import SEVERITY
from rigs.packets.models import Packet

MOMENTS = (
    ("load_in_at", "load-in"),
    ("show_from", "show"),
    ("show_until", "end of the show"),
    ("back_at", "kit back"),
)


@dataclass(frozen=True)
class Moment:
    """The next time that matters: what, when (UTC), and how long it is until then."""

    name: str
    when: datetime
    wait: str


@dataclass
class Dialled:
    """How far a processor is dialled in: entries `done` of `all`, `kept` of them seen earlier."""

    sheet: int
    all: int = 0
    done: int = 0
    kept: int = 0

    def count(self, now: bool, earlier: bool) -> None:
        """One entry more: ticked in this version, or unchanged since an earlier one."""
        self.all += 1
        self.done += now or earlier
        self.kept += earlier and not now

    @property
    def words(self) -> str:
        """'12 of 31 ticked, 5 of them in an earlier version'."""
        kept = f", {self.kept} of them in an earlier version" if self.kept else ""
        return f"{self.done} of {self.all} ticked{kept}"


def next_moment(event: Event, now: datetime) -> Moment | None:
    """None when the kit is back."""
    for field, name in MOMENTS:
        when: datetime = getattr(event, field)
        if when > now:
            return Moment(name, when, span_words(when - now))
    return None


def span_words(span: timedelta) -> str:
    """'40 min', '3 h 10', '2 days 5 h'."""
    minutes = max(0, int(span.total_seconds() // 60))
    if minutes < 60:
        return f"{minutes} min"
    hours, minutes = divmod(minutes, 60)
    if hours < 24:
        return f"{hours} h {minutes:02}"
    days, hours = divmod(hours, 24)
    return f"{days} day{'' if days == 1 else 's'}" + (f" {hours} h" if hours and days < 7 else "")


def age_words(packet: Packet, now: datetime) -> str:
    """How old what it says is."""
    if packet.made_at is None:
        return ""
    age = now - packet.made_at
    return "just made" if age < timedelta(minutes=1) else f"{span_words(age)} old"


def tally_words(tally: dict[str, int]) -> list[dict[str, Any]]:
    """What is open in a step, worst first; what holds is said only when all does."""
    worst = [s for s in SEVERITY if tally.get(s) and s != "holds"]
    return [{"count": tally[s], "state": s} for s in worst or SEVERITY if tally.get(s)]
