"""A made packet's dial-in sheets: one by one for a page, and all of them as files.

The files' columns: docs/dial-in-sheet.md.
"""

import csv
import io
from collections.abc import Iterator
from typing import Any

from rigs.packets.models import Packet

Json = dict[str, Any]

FORMAT = 1
COLUMNS = (
    "packet", "fingerprint", "processor", "model", "unit", "output", "lines", "entry", "title",
    "value", "value_unit", "wished", "entered", "words", "fits", "note",
)  # fmt: skip
LIKE_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a text that begins so for a formula; an apostrophe before it stops that."""


def sheets_of(sections: list[Json] | None) -> list[Json]:
    """Each processor's block with its `outputs`, in order; none in packets of an earlier make."""
    found: list[Json] = []
    for section in sections or ():
        for block in section["blocks"]:
            if block["kind"] == "processor":
                found.append(block | {"outputs": []})
            elif block["kind"] == "output":
                found[-1]["outputs"].append(block)
    return found


def section_of(sections: list[Json] | None, number: int) -> Json | None:
    """The step's caution and one processor's blocks, as a section of its own."""
    for section in sections or ():
        if section["key"] == "processing":
            blocks = [b for b in section["blocks"] if b["kind"] == "caution"]
            blocks += _of_processor(section["blocks"], number)
            if blocks[-1]["kind"] != "caution":
                return section | {"key": f"dial-{number}", "blocks": blocks}
    return None


def _of_processor(blocks: list[Json], number: int) -> Iterator[Json]:
    mine = False
    for block in blocks:
        if block["kind"] == "processor":
            mine = block["number"] == number
        if mine and (block["kind"] in ("processor", "output") or _is_whole(block)):
            yield block


def _is_whole(block: Json) -> bool:
    """A card about the processor as a whole; cards of lines on no sheet follow the last one."""
    return block["kind"] == "card" and block["key"].startswith("processor:")


def as_json(packet: Packet) -> Json:
    """All sheets of a packet, as plain JSON."""
    return {
        "format": FORMAT,
        "packet": packet.pk,
        "version": packet.number,
        "event": packet.about["event"],
        "made_at": packet.made_at.isoformat() if packet.made_at else None,
        "fingerprint": packet.run.fingerprint,
        "calc_version": packet.run.calc_version,
        "processors": [_processor(sheet) for sheet in sheets_of(packet.sections)],
    }


def _processor(sheet: Json) -> Json:
    about = {name: sheet[name] for name in ("model", "unit", "linked", "remarks")}
    outputs = [_output(output) for output in sheet["outputs"]]
    return {"processor": sheet["name"], **about, "outputs": outputs}


def _output(output: Json) -> Json:
    fields = ("lines", "boxes", "band_hz", "rounding_db", "rounding_deg", "rounding_at_hz")
    return {
        "output": output["number"],
        **{name: output[name] for name in fields},
        "entries": [_entry(entry) for entry in output["entries"]],
    }


def _entry(entry: Json) -> Json:
    return {
        **{name: entry[name] for name in ("entry", "title", "fits", "note")},
        "values": [
            {
                "value": value["name"],
                "value_unit": value["unit"],
                "wished": value["wished"],
                "entered": value["entered"],
                "words": value["words"],
            }
            for value in entry["values"]
        ],
    }


def as_csv(packet: Packet) -> str:
    """All sheets of a packet, a row for each value; RFC 4180."""
    written = io.StringIO()
    rows = csv.writer(written, lineterminator="\r\n")
    rows.writerow(COLUMNS)
    for row in _rows(as_json(packet)):
        rows.writerow([_cell(row[column]) for column in COLUMNS])
    return written.getvalue()


def _rows(data: Json) -> Iterator[Json]:
    """An entry without values has one row, with these columns empty."""
    nothing = dict.fromkeys(("value", "value_unit", "wished", "entered", "words"))
    for sheet in data["processors"]:
        for output in sheet["outputs"]:
            for entry in output["entries"]:
                for value in entry["values"] or [nothing]:
                    yield {**data, **sheet, **output, **entry, **value}


def _cell(value: Any) -> str:
    """Numbers as they are; texts so that no spreadsheet runs them."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return repr(value)
    text = "; ".join(value) if isinstance(value, list) else str(value)
    return f"'{text}" if text.startswith(LIKE_A_FORMULA) else text
