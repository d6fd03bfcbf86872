"""Kit summary: what should be on the truck when it arrives."""

from itertools import groupby

from rigs.packets.compute import LIFTING, Prediction
from rigs.packets.sections.blocks import (
    Json,
    cautions,
    checklist,
    counted,
    figures,
    number,
    table,
    text,
)

PLACES = {"rack": "Racks", "line": "Lines", "stage": "Stage", "spare": "Spares"}


def kit_blocks(kit: Json, prediction: Prediction) -> list[Json]:
    rows = kit["rows"]
    if not rows:
        return [text("Nothing stands on the kit list."), *cautions(prediction, LIFTING)]
    return [
        figures(*_totals(kit)),
        *cautions(prediction, LIFTING),
        *_heavy(kit["heavy"]),
        *([text(f"Of unknown weight: {kit['unknown']}.")] if kit["unknown"] else []),
        *([checklist("Missing to connect it all", kit["missing"])] if kit["missing"] else []),
        *(
            _place(PLACES.get(place, place), list(group))
            for place, group in groupby(rows, key=lambda row: row["place"])
        ),
    ]


def kit_note(kit: Json) -> str:
    """How much it is, in a few words."""
    return f"{counted(kit['pieces'], 'piece')}, {_weight(kit)}" if kit["rows"] else ""


def _weight(kit: Json) -> str:
    return f"{number(kit['mass_kg'])} kg" + _unknown(kit["unknown_mass"], "weight")


def _unknown(pieces: int, what: str) -> str:
    return f" + {counted(pieces, 'piece')} of unknown {what}" if pieces else ""


def _totals(kit: Json) -> list[tuple[str, str]]:
    lengths = [(f"{use} cable".capitalize(), f"{number(m)} m") for use, m in kit["cable_m"].items()]
    if kit["unknown_length"]:
        lengths.append(("Cable of unknown length", counted(kit["unknown_length"], "piece")))
    return [("Pieces", str(kit["pieces"])), ("Weight", _weight(kit)), *lengths]


def _heavy(lifts: list[Json]) -> list[Json]:
    """The heaviest first; a rack is lifted with all that sits in it."""
    if not lifts:
        return []
    return [checklist("Heavy: two people or a lift for each", map(_lift, lifts))]


def _lift(lift: Json) -> str:
    least = "at least " if lift["at_least"] else ""
    times = f"{lift['pieces']} x " if lift["pieces"] > 1 else ""
    return f"{times}{lift['name']}: {least}{number(lift['mass_kg'])} kg"


def _place(title: str, rows: list[Json]) -> Json:
    return table(
        title,
        ("#Pieces", "What", "Units", "Why"),
        [(str(row["quantity"]), row["item"], ", ".join(row["units"]), row["why"]) for row in rows],
    )
