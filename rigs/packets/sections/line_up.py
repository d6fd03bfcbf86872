"""Bringing the system to life: what to do in which order, each step ticked."""

from rigs.packets.compute import LineUpStep, Prediction
from rigs.packets.sections.blocks import Json, card, text
from rigs.packets.sections.dial_in import short_key

FIRST = (
    "Go from one step to the next, and tick each when it is done. Where something sounds or "
    "reads otherwise than it should: mute, find out why, and only then go on."
)


def line_up_blocks(prediction: Prediction) -> list[Json]:
    """The steps in order; none where nothing can be brought to life."""
    if not prediction.line_up:
        return []
    steps = [_step(step, place) for place, step in enumerate(prediction.line_up, start=1)]
    return [text(FIRST), *steps]


def _step(step: LineUpStep, place: int) -> Json:
    """The caution stands before the action: `cautions`, then `does`, then `expect`."""
    key = short_key("line-up", step.key)
    block = card(key, step.title, "", (), warnings=filter(None, (step.caution,)), tickable=True)
    return block | {
        "kind": "line-up step",
        "number": place,
        "does": step.does,
        "expect": step.expect,
    }
