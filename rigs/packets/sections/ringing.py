"""The ring-out as it was done: order of work, notches, log."""

from datetime import datetime
from zoneinfo import ZoneInfo

from rigs.packets.compute import HEARING
from rigs.packets.sections.blocks import (
    Json,
    caution,
    checklist,
    counted,
    figures,
    number,
    quantity,
    table,
    text,
)
from rigs.systems.ring_out import CAUTIONS, ORDER, STOP_RULE


def ringing_blocks(about: Json) -> list[Json]:
    """Nothing where no ring-out was set up and nothing was logged."""
    done = about.get("ringing") or {}
    if not done:
        return []
    return [
        *(caution(words) for words in (HEARING, *CAUTIONS)),
        checklist("In this order", ORDER, ordered=True),
        text(STOP_RULE),
        figures(*_figures(done), title="Notches"),
        *_notches(done["notches"]),
        *_log(done["log"], ZoneInfo(about["zone"])),
    ]


def _figures(done: Json) -> list[tuple[str, str]]:
    outputs = ", ".join(str(one) for one in done["outputs"])
    where = f"{done['where']}, outputs {outputs}" if outputs else ""
    return [
        ("On", where),
        ("Made for", done["material"]),
        ("Placed", str(len(done["notches"]))),
        ("In reserve for the show", str(done["in_reserve"])),
    ]


def _notches(notches: list[Json]) -> list[Json]:
    rows = [
        (
            quantity(one["frequency_hz"], "Hz"),
            f"{one['gain_db']:+.1f} dB",
            number(one["q"]),
            one["microphone"],
            "not set yet" if one["revision"] is None else f"revision {one['revision']}",
        )
        for one in notches
    ]
    heads = ("#Frequency", "#Gain", "#Q", "Microphone", "In the processing")
    return [table("Placed notches", heads, rows)] if rows else []


def _log(log: list[Json], zone: ZoneInfo) -> list[Json]:
    rows = [
        (
            datetime.fromisoformat(one["at"]).astimezone(zone).strftime("%d %b %H:%M"),
            one["microphone"],
            one["ended"],
            "" if one["frequency_hz"] is None else quantity(one["frequency_hz"], "Hz"),
            "" if one["level_db"] is None else f"{one['level_db']:+.1f} dB",
            "" if one["margin_db"] is None else quantity(one["margin_db"], "dB"),
            one["who"],
            one["note"],
        )
        for one in log
    ]
    heads = ("When", "Microphone", "What", "#At", "#Level", "#Margin", "Who", "Note")
    return [table(f"Log, {counted(len(rows), 'line')}", heads, rows)] if rows else []
