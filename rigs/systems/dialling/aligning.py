"""What the pages say of alignments: the number that decides, both sides, what taking it changes."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rigs.events.models import Event
from rigs.systems.describe import SystemDescription
from rigs.systems.describe.dialling.checked import AlignmentResult, CheckedProcessing
from rigs.systems.describe.dialling.delays import LEAST_MS, Taking, taking
from rigs.systems.describe.dialling.drift import Drift, drift_of
from rigs.systems.describe.dialling.words import (
    delay_words,
    distance_words,
    level,
    number,
    plain_delay,
)
from rigs.systems.models import Alignment
from rigs.systems.pictures.processing import between_picture, sides_picture

NARROW = 340.0
CANNOT_CHECK = "cannot check"
SHOWN_MS = 0.005
"""Less shows as no change at two digits."""


@dataclass(frozen=True, slots=True)
class AlignmentRow:
    """An alignment in a list: its state, and the number that decides."""

    row: Alignment
    state: str
    decides: str


def alignment_rows(event: Event, checked: CheckedProcessing) -> list[AlignmentRow]:
    """All alignments of an event, worst first."""
    results = {result.name: result for result in checked.alignments}
    rows = [
        AlignmentRow(row, state_of(checked, row.name), decides(results.get(row.name)))
        for row in event.alignments.all()
    ]
    order = ("fails", CANNOT_CHECK, "tight", "holds")
    return sorted(rows, key=lambda each: (order.index(each.state), each.row.name))


def state_of(checked: CheckedProcessing, name: str) -> str:
    """The worst state of what was found about an alignment."""
    found = checked.of({name})
    return found[0].state if found else CANNOT_CHECK


def decides(result: AlignmentResult | None) -> str:
    """What to do, with its number: 'Add 7.3 ms to Subs left and Subs right'."""
    if result is None or result.add_ms is None or result.delay_ms is None:
        return "What delay it needs is unknown"
    moved, reference = (" and ".join(side) for side in (result.moved, result.reference))
    turn = f"{'; ' if abs(result.add_ms) >= LEAST_MS else ''}change the polarity of {moved}"
    turn = turn if result.invert else ""
    if result.delay_ms < -LEAST_MS:
        return f"Let {reference} wait by {plain_delay(-result.delay_ms)}{turn}"
    if abs(result.add_ms) < LEAST_MS:
        return turn.capitalize() if turn else "Nothing to change"
    if result.add_ms > 0:
        return f"Add {plain_delay(result.add_ms)} to {moved}{turn}"
    return f"Take {plain_delay(-result.add_ms)} off {moved}{turn}"


def shown_alignment(
    event: Event, system: SystemDescription, checked: CheckedProcessing, row: Alignment
) -> dict[str, Any]:
    """Everything on the page of one alignment."""
    result = next((each for each in checked.alignments if each.name == row.name), None)
    if result is None:
        return {"result": None, "decides": decides(None), "state": CANNOT_CHECK}
    warmth = system.surroundings.temperature_c
    return {
        "result": result,
        "decides": decides(result),
        "state": state_of(checked, row.name),
        "figures": _figures(result, warmth),
        "pictures": _pictures(result),
        "drift": _drift(drift_of(system, row.name), result),
        "taking": _taken(taking(system, result), warmth),
    }


def _figures(result: AlignmentResult, warmth: float) -> list[tuple[str, str]]:
    def degrees(value: float | None) -> str:
        return "unknown" if value is None else f"{value:.0f}°"

    def decibels(value: float | None) -> str:
        return "unknown" if value is None else level(value)

    def milliseconds(value: float | None) -> str:
        return "unknown" if value is None else delay_words(round(value, 2), warmth)

    overlap = "they do not overlap"
    if len(result.overlap_hz) == 2:
        overlap = " to ".join(f"{number(hz)} Hz" for hz in result.overlap_hz)
    wide = len(result.moved) == len(result.reference) == 1
    return [
        (f"{result.moved[0] if wide else 'moved side'} arrives after",
         milliseconds(result.moved_arrival_ms)),
        (f"{result.reference[0] if wide else 'reference'} arrives after",
         milliseconds(result.reference_arrival_ms)),
        ("overlap", overlap),
        ("largest phase there, as set", degrees(result.worst_phase_deg)),
        ("largest phase there, after", degrees(result.best_worst_phase_deg)),
        ("sum over the louder side, as set", decibels(result.sum_db)),
        ("sum over the louder side, after", decibels(result.best_sum_db)),
        ("stands on", "measured responses" if result.measured else "geometry and data sheets"),
    ]  # fmt: skip


def _drift(found: Drift | None, result: AlignmentResult) -> dict[str, Any] | None:
    """How far both sides run apart, told at every temperature of the table."""
    if found is None or result.drift_ms is None:
        return None
    set_c, show_c = result.set_temperature_c, result.show_temperature_c
    return {
        "decides": _drift_words(result.drift_ms, "from set-up to show"),
        "set_at": f"{number(set_c)} °C",
        "rows": [
            (_air(air, set_c, show_c), _drift_words(late), distance_words(abs(metres)))
            for air, late, metres in found.rows
        ],
        "ways": [
            ("moved side stands off", distance_words(found.ways.moved_m)),
            ("reference stands off", distance_words(found.ways.reference_m)),
            ("difference", distance_words(abs(found.ways.difference_m))),
        ],
    }


def _air(air: float, set_c: float, show_c: float) -> str:
    said = [word for word, at in (("set", set_c), ("show", show_c)) if at == air]
    return f"{number(air)} °C{', ' if said else ''}{' and '.join(said)}"


def _drift_words(late_ms: float, when: str = "") -> str:
    if abs(late_ms) < SHOWN_MS:
        return f"no change {when}".strip()
    way = "later" if late_ms > 0 else "earlier"
    return f"{plain_delay(abs(late_ms))} {way} {when}".strip()


def _pictures(result: AlignmentResult) -> list[tuple[str, str]]:
    drawn = []
    if result.phase_deg:
        drawn.append((between_picture(result), between_picture(result, NARROW)))
    if result.frequency_hz:
        drawn.append((sides_picture(result), sides_picture(result, NARROW)))
    return drawn


def _taken(asked: Taking, warmth: float) -> dict[str, Any]:
    return {
        "rows": [
            {
                "name": change.name,
                "was": delay_words(change.was_ms, warmth),
                "now": delay_words(change.delay_ms, warmth),
                "polarity": ("inverted" if change.inverted else "as it is")
                if change.turned
                else "unchanged",
            }
            for change in asked.changes
        ],
        "obstacles": asked.obstacles,
        "remarks": asked.remarks,
    }


def outputs_to_change(event: Event, asked: Taking) -> dict[tuple[int, int], dict[str, Any]]:
    """The changes by the processor place's key and the output, as the action takes them."""
    places = {place.name: place.pk for place in event.processorplaces.all()}
    return {
        (places[change.processor], change.output): {
            "delay_ms": change.delay_ms,
            "inverted": change.inverted,
        }
        for change in asked.changes
        if change.processor in places
    }


def reason_for(name: str, words: Iterable[str] | str) -> str:
    """Why the next revision is made, as far as it is known."""
    return f"{name}: {words if isinstance(words, str) else ', '.join(words)}"[:200]
