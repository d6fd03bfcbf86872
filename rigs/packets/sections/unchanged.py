"""A mark of what a card says, so that a later version can tell whether it still says the same."""

import hashlib
import json

from rigs.packets.sections.blocks import CARDS, Json

DRAWN = ("picture",)
LENGTH = 16


def set_marks(sections: list[Json]) -> None:
    """Give every card that can be ticked its mark; entries of dial-in sheets have theirs."""
    for section in sections:
        for block in section["blocks"]:
            if block["kind"] in CARDS and block["tickable"]:
                block["mark"] = mark_of(block)


def mark_of(card: Json) -> str:
    """The same words and figures have the same mark. Drawings are left out: they show the same."""
    said = {name: value for name, value in card.items() if name not in ("mark", *DRAWN)}
    said["more"] = [
        [block for block in fold["blocks"] if block["kind"] not in DRAWN] for fold in card["more"]
    ]
    text = json.dumps(said, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]
