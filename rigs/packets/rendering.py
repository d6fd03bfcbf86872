"""The steps of a made packet as HTML: rendered once, the ticks put in for each request.

A packet never changes, so its steps are kept rendered in the process. What does change stands
apart: who ticked what, and whether an override's time is over. A processor's dial-in sheet has a
page of its own, rendered and kept in the same way.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from rigs.packets.compute import SEVERITY
from rigs.packets.decisions import has_expired
from rigs.packets.dial_in import section_of, sheets_of
from rigs.packets.models import Packet
from rigs.packets.presenting import Dialled, tally_words
from rigs.packets.queries import Ticks
from rigs.packets.sections.blocks import CARDS
from rigs.packets.sections.dial_in import said_of
from rigs.systems.standing import EXPIRED, IN_FORCE, WAITING

Json = dict[str, Any]

SLOT = "<!-- slot -->"
"""Where a tick or a count goes. Names are escaped, so that none of them can look like it."""

KEPT = 16
"""Packets that a process keeps rendered: the events of a few days."""

BLANKS = {"key": "@key@", "anchor": "@anchor@", "name": "@name@"}
BLANK = re.compile("@(key|anchor|name)@")

REPEATS = ("racks", "processing")
"""Steps that show findings of the drive lines again, where they are set."""
REPEATED = ("load", "linked_inputs", "limiter", "shared_output")
"""These findings; of an output on a dial-in sheet only its limiters'."""


@dataclass(frozen=True)
class Slot:
    """A place that differs from request to request: a tick, or how far a sheet is dialled in.

    `sheet` is the number of the dial-in sheet that it belongs to, 0 for none; `key` is "" for a
    count. `title` and `said` are of an entry: what it is and what it reads.
    """

    key: str = ""
    anchor: str = ""
    name: str = ""
    mark: str = ""
    sheet: int = 0
    title: str = ""
    said: str = ""


@dataclass(frozen=True)
class Step:
    """One step, rendered: `pieces` are what stands around its `slots`.

    `own` counts its cards by state without what other steps show as well.
    """

    key: str
    step: str
    heading: str
    note: str
    tally: dict[str, int]
    own: dict[str, int]
    pieces: tuple[str, ...]
    slots: tuple[Slot, ...]

    @property
    def to_tick(self) -> int:
        """How many things in it can be ticked."""
        return sum(bool(slot.key) for slot in self.slots)


@dataclass(frozen=True)
class ShownStep:
    """One step as one person sees it now."""

    step: Step
    open: list[Json]
    body: SafeString
    seen: int
    earlier: int


@dataclass(frozen=True)
class Sheet:
    """A processor's dial-in sheet, rendered; `processors` are all that have one."""

    about: Json
    outputs: list[Json]
    processors: list[Json]
    step: Step


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


def sheet_of(packet: Packet, number: int, now: datetime) -> Sheet | None:
    """One processor's dial-in sheet for a page of its own; None where there is no such."""
    ended = frozenset(one["until"] for one in packet.overrides if has_expired(one, now))
    make = sheet_as_kept.__wrapped__ if settings.DEBUG else sheet_as_kept
    return make(packet.pk, number, packet.made_at, ended)


@lru_cache(maxsize=4 * KEPT)
def sheet_as_kept(
    packet_id: int, number: int, made_at: datetime | None, ended: frozenset[str]
) -> Sheet | None:
    """As `steps_as_kept`, of one sheet."""
    packet = Packet.objects.only("sections").get(pk=packet_id)
    section = section_of(packet.sections, number)
    if section is None:
        return None
    outputs = [block for block in section["blocks"] if block["kind"] == "output"]
    for place, output in enumerate(outputs, start=1):
        output["previous"] = _way_to(section, place - 1, outputs)
        output["next"] = _way_to(section, place + 1, outputs)
    step = _rendered(packet, section, ended, "packets/_sheet.html")
    processors = [{"number": s["number"], "name": s["name"]} for s in sheets_of(packet.sections)]
    about = next(block for block in section["blocks"] if block["kind"] == "processor")
    return Sheet(about, outputs, processors, step)


def _way_to(section: Json, place: int, outputs: list[Json]) -> Json | None:
    """The output at a place among those of a sheet, counted from 1."""
    if not 1 <= place <= len(outputs):
        return None
    return {"anchor": f"{section['key']}-{place}", "number": outputs[place - 1]["number"]}


def _rendered(
    packet: Packet,
    section: Json,
    ended: frozenset[str],
    template: str = "packets/_step.html",
) -> Step:
    cards = [block for block in section["blocks"] if block["kind"] in CARDS]
    for place, card in enumerate(cards, start=1):
        card["anchor"] = f"{section['key']}-{place}"
        for number, entry in enumerate(card.get("entries", ()), start=1):
            entry["anchor"] = f"{card['anchor']}-{number}"
        _end_overrides(card, ended)
    for block in section["blocks"]:
        _prepare(block)
    body = render_to_string(template, {"packet": packet, "blocks": section["blocks"]})
    return Step(
        key=section["key"],
        step=section["step"],
        heading=section["heading"],
        note=section["note"],
        tally=section["tally"],
        own=_own_tally(section, cards),
        pieces=tuple(body.split(SLOT)),
        slots=tuple(slot for block in section["blocks"] for slot in _slots(block)),
    )


def _own_tally(section: Json, cards: Iterable[Json]) -> dict[str, int]:
    """A card by its worst finding that no other step shows."""
    if section["key"] not in REPEATS:
        return dict(section["tally"])
    states: Counter[str] = Counter()
    for card in cards:
        repeated = ("limiter",) if card["kind"] == "output" else REPEATED
        own = [f["state"] for f in card["findings"] if f["check"] not in repeated]
        if own:
            states[min(own, key=SEVERITY.index)] += 1
    return dict(states)


def _slots(block: Json) -> Iterator[Slot]:
    """In the order in which the templates leave room for them."""
    if block["kind"] == "processor":
        yield Slot(sheet=block["number"])
    if block["kind"] in CARDS:
        things = [*block.get("entries", ()), block]
        yield from (_slot_of(thing) for thing in things if thing["tickable"])


def _slot_of(thing: Json) -> Slot:
    return Slot(
        thing["key"],
        thing["anchor"],
        thing["name"],
        thing.get("mark", ""),
        thing.get("sheet", 0),
        thing.get("title", ""),
        said_of(thing),
    )


def _prepare(block: Json) -> None:
    """Name the block's template, and put each cell of a table beside its head."""
    block["template"] = f"packets/blocks/{block['kind'].replace(' ', '_')}.html"
    table = block if block["kind"] == "table" else block.get("table")
    if table:
        table["cells"] = [
            [{**head, "text": cell} for head, cell in zip(table["columns"], row, strict=True)]
            for row in table["rows"]
        ]
    for fold in block.get("more", ()):
        for inside in fold["blocks"]:
            _prepare(inside)


def _end_overrides(card: Json, ended: frozenset[str]) -> None:
    """An override whose time is over since the packet was made does not stand any more."""
    for finding in card["findings"]:
        override = finding.get("override")
        if override and override["word"] in (IN_FORCE, WAITING) and override["until"] in ended:
            override["word"] = EXPIRED


def totals(steps: Iterable[Step]) -> dict[str, int]:
    """Cards by state over the whole packet, each fault once."""
    found: Counter[str] = Counter()
    for step in steps:
        found.update(step.own)
    return found


def shown_steps(
    request: HttpRequest, packet: Packet, steps: Iterable[Step], ticks: Ticks, zone: str
) -> list[ShownStep]:
    """The steps with who saw what on site."""
    blank = _tick_html(request, packet, BLANKS, zone)
    return [shown_step(request, packet, step, ticks, zone, blank) for step in steps]


def shown_step(
    request: HttpRequest,
    packet: Packet,
    step: Step,
    ticks: Ticks,
    zone: str,
    blank: str = "",
) -> ShownStep:
    """One step with its ticks; `blank` is a rendered tick of nothing, for many steps."""
    blank = blank or _tick_html(request, packet, BLANKS, zone)
    done = dialled(step, ticks)
    parts, seen, earlier = [step.pieces[0]], 0, 0
    for slot, piece in zip(step.slots, step.pieces[1:], strict=True):
        if not slot.key:
            parts += [_dialled_html(done[slot.sheet]), piece]
            continue
        tick = ticks.now.get(slot.key)
        seen += tick is not None
        earlier += tick is None and ticks.same(slot.key, slot.mark) is not None
        parts += [_tick_of(request, packet, slot, ticks, zone, blank), piece]
    body = mark_safe("".join(parts))  # rendered by templates that escape
    return ShownStep(step, tally_words(step.tally), body, seen, earlier)


def dialled(step: Step, ticks: Ticks) -> dict[int, Dialled]:
    """How far each dial-in sheet of a step is: entries that stand ticked, of all."""
    found: dict[int, Dialled] = {}
    for slot in step.slots:
        done = found.setdefault(slot.sheet, Dialled(slot.sheet))
        if slot.key:
            done.count(slot.key in ticks.now, ticks.same(slot.key, slot.mark) is not None)
    return found


def _tick_of(
    request: HttpRequest, packet: Packet, slot: Slot, ticks: Ticks, zone: str, blank: str
) -> str:
    about = _about(slot, ticks)
    if about["tick"] or about["before"] or about["was"]:
        return _tick_html(request, packet, about, zone)
    # Most cards are not ticked, and all of these look alike: one rendering does for them.
    return BLANK.sub(lambda found: escape(getattr(slot, found[1])), blank)


def _about(slot: Slot, ticks: Ticks) -> Json:
    """A tick as its template wants it; `was` is what somebody set before it became another."""
    other = ticks.other(slot.key, slot.mark)
    return {
        "key": slot.key,
        "anchor": slot.anchor,
        "name": slot.name,
        "tick": ticks.now.get(slot.key),
        "before": ticks.same(slot.key, slot.mark),
        "was": other if other and other.said else None,
        "was_set": _short(other.said, slot) if other else "",
        "now_set": _short(slot.said, slot),
    }


def _short(said: str, slot: Slot) -> str:
    """What an entry read, without its title where that is the same as now."""
    return said.removeprefix(f"{slot.title}: ")


def ticked(
    request: HttpRequest, packet: Packet, key: str, anchor: str, ticks: Ticks, zone: str
) -> str:
    """One tick anew, and with an entry's how far its sheet is, for the place on the page."""
    for step in steps_of(packet, timezone.now()):
        for slot in step.slots:
            if slot.key == key:
                about = _about(slot, ticks) | {"anchor": anchor or slot.anchor}
                html = _tick_html(request, packet, about, zone)
                if slot.sheet:
                    html += _dialled_html(dialled(step, ticks)[slot.sheet], moved=True)
                return html
    return _tick_html(request, packet, {"key": key, "anchor": anchor}, zone)


def _tick_html(request: HttpRequest, packet: Packet, block: Json, zone: str) -> str:
    context = {"packet": packet, "block": block, "zone": zone}
    return render_to_string("packets/_tick.html", context, request)


def _dialled_html(done: Dialled, moved: bool = False) -> str:
    return render_to_string("packets/_dialled.html", {"dialled": done, "moved": moved})
