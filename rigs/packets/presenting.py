"""A packet as its page shows it: ages and times in words, ticks beside their cards."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from rigs.events.models import Event
from rigs.packets.compute import SEVERITY
from rigs.packets.models import Packet, Tick

MOMENTS = (
    ("load_in_at", "load-in"),
    ("show_from", "show"),
    ("show_until", "end of the show"),
    ("back_at", "kit back"),
)

REPEATS = ("racks", "processing")
"""Steps that show findings of the drive lines again, where they are set."""


@dataclass(frozen=True)
class Moment:
    """The next time that matters: what, when (UTC), and how long it is until then."""

    name: str
    when: datetime
    wait: str


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


def steps(packet: Packet, ticks: dict[str, Tick]) -> list[dict[str, Any]]:
    """The packet's sections, with who saw what on site and what is open in each step."""
    shown = []
    for section in packet.sections or ():
        for block in section["blocks"]:
            _prepare(block)
        cards = [block for block in section["blocks"] if block["kind"] == "card"]
        for place, card in enumerate(cards, start=1):
            card["tick"] = ticks.get(card["key"])
            card["anchor"] = f"{section['key']}-{place}"
        to_see = [card for card in cards if card["tickable"]]
        seen = sum(card["tick"] is not None for card in to_see)
        more = {"open": tally_words(section["tally"]), "to_see": len(to_see), "seen": seen}
        shown.append(section | more)
    return shown


def _prepare(block: dict[str, Any]) -> None:
    """Name the block's template, and put each cell of a table beside its head."""
    block["template"] = f"packets/blocks/{block['kind']}.html"
    table = block if block["kind"] == "table" else block.get("table")
    if table:
        table["cells"] = [
            [{**head, "text": cell} for head, cell in zip(table["columns"], row, strict=True)]
            for row in table["rows"]
        ]


def tally_words(tally: dict[str, int]) -> list[dict[str, Any]]:
    """What is open in a step, worst first; what holds is said only when all does."""
    worst = [s for s in SEVERITY if tally.get(s) and s != "holds"]
    return [{"count": tally[s], "state": s} for s in worst or SEVERITY if tally.get(s)]


def totals(sections: Iterable[dict[str, Any]]) -> dict[str, int]:
    """Cards by state over the whole packet, each fault once."""
    found: dict[str, int] = {}
    for section in sections:
        if section["key"] not in REPEATS:
            for state, count in section["tally"].items():
                found[state] = found.get(state, 0) + count
    return found
