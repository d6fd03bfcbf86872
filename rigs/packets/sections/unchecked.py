"""What the packet can't speak for, in sentences. Unknown is never a pass."""

from rigs.packets.compute import Prediction
from rigs.packets.sections.blocks import Json, checklist, text


def unchecked_blocks(prediction: Prediction) -> list[Json]:
    if not prediction.unchecked:
        return []
    return [
        text("Nothing here is a pass: check it yourself, or enter what is missing and ask again."),
        checklist("Open", dict.fromkeys(prediction.unchecked)),
    ]
