"""A dial-in sheet: a processor, and under it each output with its entries in their order."""

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from rigs.packets.compute import (
    DialInSheet,
    EnteredValue,
    Finding,
    OutputSheet,
    SheetEntry,
)
from rigs.packets.sections.blocks import Json, card, metres_and_feet, number

LONGEST_KEY = 120
LONGEST_SAID = 200
CANNOT = "cannot be set"


def processor_block(sheet: DialInSheet, place: int) -> Json:
    """What stands above the outputs of one processor; `place` is its page, from 1."""
    return {
        "kind": "processor",
        "number": place,
        "name": sheet.processor,
        "model": sheet.model,
        "unit": sheet.unit,
        "linked": sheet.linked,
        "remarks": list(sheet.remarks),
        "group": sheet.processor,
    }


def whole_processor(sheet: DialInSheet, findings: Sequence[Finding]) -> Json:
    """What is found about a processor as a whole: does all of it fit?"""
    key = short_key("processor", sheet.processor)
    return card(key, sheet.processor, "All outputs", findings, group=sheet.processor)


def output_block(
    sheet: DialInSheet,
    output: OutputSheet,
    place: int,
    findings: Sequence[Finding],
    more: Iterable[Json],
    air: tuple[float, float],
) -> Json:
    """One output as a card with entries; `air` is its temperature and the speed of sound in it."""
    name = f"Output {output.output}"
    block = card(
        short_key("output", sheet.processor, str(output.output)),
        f"{name}: {', '.join(output.lines)}" if output.lines else name,
        ", ".join(output.boxes) or "no box",
        [_without_name(one, f"{sheet.processor}, output {output.output}: ") for one in findings],
        facts=[("Plays", _band(output.band_hz)), ("Rounding changes", _rounding(output))],
        more=more,
        group=sheet.processor,
        figure="",
        against="",
    )
    entries = [_entry(sheet, output, entry, place, air) for entry in output.entries]
    misfits = sum(not entry["fits"] for entry in entries)
    return block | {
        "kind": "output",
        # Findings that hold are no pass for an output that can't be set as wished.
        "state": "" if misfits and block["state"] == "holds" else block["state"],
        "misfits": misfits,
        "number": output.output,
        "lines": list(output.lines),
        "boxes": list(output.boxes),
        "band_hz": list(output.band_hz),
        "rounding_db": output.rounding_db,
        "rounding_deg": output.rounding_deg,
        "rounding_at_hz": output.rounding_at_hz,
        "entries": entries,
    }


def _without_name(finding: Finding, name: str) -> Finding:
    """The output's name stands above it already."""
    if not finding.sentence.startswith(name):
        return finding
    rest = finding.sentence[len(name) :]
    return replace(finding, sentence=rest[:1].upper() + rest[1:])


def _entry(
    sheet: DialInSheet,
    output: OutputSheet,
    entry: SheetEntry,
    place: int,
    air: tuple[float, float],
) -> Json:
    values = [_value(value, air if entry.key == "delay" else None) for value in entry.values]
    return {
        "key": short_key("dial", sheet.processor, str(output.output), entry.key),
        "sheet": place,
        "name": f"output {output.output}, {entry.title}",
        "entry": entry.key,
        "title": entry.title,
        "values": values,
        "fits": entry.fits,
        "note": entry.note,
        "tickable": bool(values) and all(value.entered is not None for value in entry.values),
        "mark": _mark(sheet, entry),
    }


def _value(value: EnteredValue, air: tuple[float, float] | None) -> Json:
    entered = value.entered is not None
    return {
        "name": value.name,
        "unit": value.unit,
        "wished": value.wanted,
        "entered": value.entered,
        "words": value.words,
        "figure": value.words if entered else CANNOT,
        "beside": _way_of_sound(value.entered, air) if air and value.unit == "ms" else "",
        "wished_words": _wished(value),
    }


def _wished(value: EnteredValue) -> str:
    """What was wished for where it is not what is entered, with as many figures as that needs."""
    if value.entered is None:
        return value.words
    if math.isclose(value.wanted, value.entered, rel_tol=1e-6, abs_tol=1e-9):
        return ""
    for digits in range(3, 8):
        wished, entered = (f"{x:.{digits}g}" for x in (value.wanted, value.entered))
        if wished != entered:
            break
    return f"{_plain(wished)} {value.unit}".strip()


def _plain(figures: str) -> str:
    """A number without an exponent."""
    return f"{float(figures):.0f}" if "e+" in figures else figures


def _way_of_sound(delay_ms: float | None, air: tuple[float, float]) -> str:
    """How far sound goes in that time."""
    temperature_c, speed = air
    if not delay_ms:
        return ""
    metres = delay_ms / 1000 * speed
    return f"{metres_and_feet(metres)} at {number(temperature_c)} °C"


def _band(band_hz: Sequence[float]) -> str:
    return f"{number(band_hz[0])} to {number(band_hz[1])} Hz" if len(band_hz) == 2 else ""


def _rounding(output: OutputSheet) -> str:
    """What all rounding of this output does together, at worst."""
    if output.rounding_db is None or output.rounding_deg is None:
        return "unknown"
    where = "" if output.rounding_at_hz is None else f" (at {number(output.rounding_at_hz)} Hz)"
    return f"at most {output.rounding_db:.2f} dB{where} and {output.rounding_deg:.1f} degrees"


def said_of(thing: Json) -> str:
    """What an entry reads, for a tick to keep: "High-pass: 98.4 Hz"; "" for a card."""
    values = (f"{value['name']} {value['figure']}".strip() for value in thing.get("values", ()))
    said = ", ".join(values)
    return f"{thing['title']}: {said}"[:LONGEST_SAID] if said else ""


def short_key(*parts: str) -> str:
    """A key of at most `LONGEST_KEY` characters; a long name in it is cut and told by a hash."""
    key = ":".join(parts)
    if len(key) <= LONGEST_KEY:
        return key
    short = hashlib.sha256(key.encode()).hexdigest()[:12]
    return f"{key[: LONGEST_KEY - 13]}~{short}"


def _mark(sheet: DialInSheet, entry: SheetEntry) -> str:
    """The same words for the same box on the truck have the same mark."""
    said = [sheet.model, sheet.unit, entry.key, entry.title, str(entry.fits)]
    said += [part for value in entry.values for part in (value.name, value.unit, value.words)]
    return hashlib.sha256("\x1f".join(said).encode()).hexdigest()[:16]
