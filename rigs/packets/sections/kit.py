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

HEAVY_KG = 25.0
"""From here on a piece is named as heavy: common practice, no source."""

PLACES = {"rack": "Racks", "line": "Lines", "stage": "Stage", "spare": "Spares"}


def kit_blocks(kit: Json, prediction: Prediction) -> list[Json]:
    rows = kit["rows"]
    if not rows:
        return [text("Nothing stands on the kit list."), *cautions(prediction, LIFTING)]
    return [
        figures(*_totals(kit)),
        *cautions(prediction, LIFTING),
        *_heavy(rows),
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


def _heavy(rows: list[Json]) -> list[Json]:
    heavy = [row for row in rows if (row["mass_kg"] or 0) >= HEAVY_KG]
    if not heavy:
        return []
    names = [f"{row['item']}: {number(row['mass_kg'])} kg" for row in heavy]
    return [checklist("Heavy: two people or a lift for each", dict.fromkeys(names))]


def _place(title: str, rows: list[Json]) -> Json:
    return table(
        title,
        ("#Pieces", "What", "Units", "Why"),
        [(str(row["quantity"]), row["item"], ", ".join(row["units"]), row["why"]) for row in rows],
    )
