"""Dial-in sheets as paper lays them out: outputs beside each other, entries below each other."""

import math
from collections.abc import Iterable
from typing import Any

from rigs.packets.dial_in import sheets_of

Json = dict[str, Any]

WIDEST = 4
"""Outputs beside each other on a sheet of A4 or Letter."""


def paper_sheets(sections: list[Json] | None) -> dict[str, Json]:
    """Each processor's sheet by its number: bands of outputs, and what stands under them."""
    return {str(sheet["number"]): _sheet(sheet) for sheet in sheets_of(sections)}


def _sheet(sheet: Json) -> Json:
    notes: list[str] = []
    bands = [_band(outputs, notes) for outputs in _bands(sheet["outputs"])]
    return {"bands": bands, "notes": notes, "open": list(_open(sheet["outputs"]))}


def _bands(outputs: list[Json]) -> list[list[Json]]:
    """Bands of about the same width, each at most `WIDEST`."""
    count = math.ceil(len(outputs) / WIDEST)
    wide = math.ceil(len(outputs) / count) if count else 0
    return [outputs[start : start + wide] for start in range(0, len(outputs), wide or 1)]


def _band(outputs: list[Json], notes: list[str]) -> Json:
    """A head for each output, and a row for each entry that one of them has."""
    found = [{entry["entry"]: entry for entry in output["entries"]} for output in outputs]
    rows = [
        {"label": key.capitalize(), "cells": [_cell(entries.get(key), notes) for entries in found]}
        for key in _in_order(found)
    ]
    return {"heads": [_head(output) for output in outputs], "rows": rows}


def _in_order(found: Iterable[Json]) -> list[str]:
    """All entries' keys; each stands behind those that come before it in any output."""
    order: list[str] = []
    for entries in found:
        place = 0
        for key in entries:
            if key in order:
                place = order.index(key) + 1
            else:
                order.insert(place, key)
                place += 1
    return order


def _head(output: Json) -> Json:
    facts = {fact["name"]: fact["value"] for fact in output["facts"]}
    return {
        "name": output["name"],
        "boxes": ", ".join(output["boxes"]) or "no box",
        "state": output["state"],
        "rounding": facts.get("Rounding changes", ""),
    }


def _cell(entry: Json | None, notes: list[str]) -> Json | None:
    """None where the output has no such entry; `note` counts among the sheet's notes, from 1."""
    if entry is None:
        return None
    note = 0
    if entry["note"]:
        if entry["note"] not in notes:
            notes.append(entry["note"])
        note = notes.index(entry["note"]) + 1
    kind = entry["title"].partition(", ")
    told = kind[2] if kind[0].lower() == entry["entry"].lower() else entry["title"]
    return {
        "title": "" if told.lower() == entry["entry"].lower() else told,
        "values": entry["values"],
        "fits": entry["fits"],
        "tick": entry["tickable"],
        "note": note,
    }


def _open(outputs: Iterable[Json]) -> Iterable[Json]:
    """Findings that do not hold, with who answers for them."""
    for output in outputs:
        for finding in output["findings"]:
            if finding["state"] != "holds":
                yield finding | {"output": f"Output {output['number']}"}
