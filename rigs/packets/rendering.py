"""The steps of a made packet as HTML: rendered once, the ticks put in for each request.

A packet never changes, so its steps are kept rendered in the process. What does change stands
apart: who ticked what, and whether an override's time is over.
"""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from rigs.packets.decisions import has_expired
from rigs.packets.models import Packet, Tick
from rigs.packets.presenting import tally_words
from rigs.packets.queries import Ticks
from rigs.systems.standing import EXPIRED, IN_FORCE, WAITING

SLOT = "<!-- tick -->"
"""Where a card's tick goes. Names are escaped, so that none of them can look like it."""

KEPT = 16
"""Packets that a process keeps rendered: the events of a few days."""

BLANKS = {"key": "@key@", "anchor": "@anchor@", "name": "@name@"}
BLANK = re.compile("@(key|anchor|name)@")

REPEATS = ("racks", "processing")
"""Steps that show findings of the drive lines again, where they are set."""


@dataclass(frozen=True)
class Card:
    """A card that can be ticked."""

    key: str
    anchor: str
    name: str
    mark: str


@dataclass(frozen=True)
class Step:
    """One step, rendered: `pieces` are what stands around the ticks of its `cards`."""

    key: str
    step: str
    heading: str
    note: str
    tally: dict[str, int]
    pieces: tuple[str, ...]
    cards: tuple[Card, ...]


@dataclass(frozen=True)
class ShownStep:
    """One step as one person sees it now."""

    step: Step
    open: list[dict[str, Any]]
    body: SafeString
    seen: int
    earlier: int


def steps_of(packet: Packet, now: datetime) -> list[Step]:
    """The running order of a made packet, from the process's memory where it is there."""
    ended = frozenset(one["until"] for one in packet.overrides if has_expired(one, now))
    make = steps_as_kept.__wrapped__ if settings.DEBUG else steps_as_kept
    return make(packet.pk, packet.made_at, ended)


@lru_cache(maxsize=KEPT)
def steps_as_kept(packet_id: int, made_at: datetime | None, ended: frozenset[str]) -> list[Step]:
    """All steps; `made_at` tells packets of one number in two databases apart.

    `ended` are the times of overrides that are over now.
    """
    packet = Packet.objects.only("sections").get(pk=packet_id)
    return [_rendered(packet, section, ended) for section in packet.sections or ()]


def _rendered(packet: Packet, section: dict[str, Any], ended: frozenset[str]) -> Step:
    cards = [block for block in section["blocks"] if block["kind"] == "card"]
    for place, card in enumerate(cards, start=1):
        card["anchor"] = f"{section['key']}-{place}"
        _end_overrides(card, ended)
    for block in section["blocks"]:
        _prepare(block)
    body = render_to_string("packets/_step.html", {"packet": packet, "blocks": section["blocks"]})
    return Step(
        key=section["key"],
        step=section["step"],
        heading=section["heading"],
        note=section["note"],
        tally=section["tally"],
        pieces=tuple(body.split(SLOT)),
        cards=tuple(_card(card) for card in cards if card["tickable"]),
    )


def _card(card: dict[str, Any]) -> Card:
    return Card(card["key"], card["anchor"], card["name"], card.get("mark", ""))


def _prepare(block: dict[str, Any]) -> None:
    """Name the block's template, and put each cell of a table beside its head."""
    block["template"] = f"packets/blocks/{block['kind']}.html"
    table = block if block["kind"] == "table" else block.get("table")
    if table:
        table["cells"] = [
            [{**head, "text": cell} for head, cell in zip(table["columns"], row, strict=True)]
            for row in table["rows"]
        ]
    for fold in block.get("more", ()):
        for inside in fold["blocks"]:
            _prepare(inside)


def _end_overrides(card: dict[str, Any], ended: frozenset[str]) -> None:
    """An override whose time is over since the packet was made does not stand any more."""
    for finding in card["findings"]:
        override = finding.get("override")
        if override and override["word"] in (IN_FORCE, WAITING) and override["until"] in ended:
            override["word"] = EXPIRED


def totals(steps: Iterable[Step]) -> dict[str, int]:
    """Cards by state over the whole packet, each fault once."""
    found: Counter[str] = Counter()
    for step in steps:
        if step.key not in REPEATS:
            found.update(step.tally)
    return found


def shown_steps(
    request: HttpRequest, packet: Packet, steps: Iterable[Step], ticks: Ticks, zone: str
) -> list[ShownStep]:
    """The steps with who saw what on site."""
    blank = _tick_html(request, packet, BLANKS, zone)
    return [_shown(request, packet, step, ticks, zone, blank) for step in steps]


def _shown(
    request: HttpRequest, packet: Packet, step: Step, ticks: Ticks, zone: str, blank: str
) -> ShownStep:
    parts, seen, earlier = [step.pieces[0]], 0, 0
    for card, piece in zip(step.cards, step.pieces[1:], strict=True):
        tick, before = ticks.now.get(card.key), ticks.earlier.get((card.key, card.mark))
        seen += tick is not None
        earlier += tick is None and before is not None
        parts += [_slot(request, packet, card, tick, before, zone, blank), piece]
    body = mark_safe("".join(parts))  # rendered by templates that escape
    return ShownStep(step, tally_words(step.tally), body, seen, earlier)


def _slot(
    request: HttpRequest,
    packet: Packet,
    card: Card,
    tick: Tick | None,
    before: Tick | None,
    zone: str,
    blank: str,
) -> str:
    if tick or before:
        block = {"key": card.key, "anchor": card.anchor, "name": card.name}
        return _tick_html(request, packet, block | {"tick": tick, "before": before}, zone)
    # Most cards are not ticked, and all of these look alike: one rendering does for them.
    return BLANK.sub(lambda found: escape(getattr(card, found[1])), blank)


def ticked_card(packet: Packet, key: str, tick: Tick | None, ticks: Ticks) -> dict[str, Any]:
    """One card as the template of ticks wants it."""
    for section in packet.sections or ():
        cards = [block for block in section["blocks"] if block["kind"] == "card"]
        for place, block in enumerate(cards, start=1):
            if block["key"] == key:
                before = ticks.earlier.get((key, block.get("mark", "")))
                anchor = f"{section['key']}-{place}"
                about = {"key": key, "anchor": anchor, "name": block["name"]}
                return about | {"tick": tick, "before": before}
    return {"key": key, "tick": tick}


def _tick_html(request: HttpRequest, packet: Packet, block: dict[str, Any], zone: str) -> str:
    context = {"packet": packet, "block": block, "zone": zone}
    return render_to_string("packets/_tick.html", context, request)
