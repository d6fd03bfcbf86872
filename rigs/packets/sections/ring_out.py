"""How far each stage microphone can be opened, ahead of the ring-out."""

import math
from collections.abc import Sequence

from rigs.packets.compute import HEARING, Finding, MicrophoneResult, Prediction
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    cautions,
    counted,
    fold,
    metres_and_feet,
    number,
    quantity,
    table,
    text,
)

CHECK = "feedback"
MEANING = (
    "An estimate from distances, directivity and the room, for planning: raise slowly and listen. "
    "What is left is counted with 6 dB kept before feedback (common practice, no source)."
)


def ring_out_blocks(prediction: Prediction) -> list[Json]:
    """The stage microphones, worst first; none where the rig has none."""
    if not prediction.microphones:
        return []
    cards = [_microphone(one, prediction.findings) for one in prediction.microphones]
    return [*cautions(prediction, HEARING), text(MEANING), *cards_worst_first(cards)]


def _microphone(result: MicrophoneResult, findings: Sequence[Finding]) -> Json:
    about = [f for f in findings if f.check == CHECK and f.subject == result.name]
    return card(
        f"microphone:{result.name}",
        result.name,
        "Stage microphone",
        about,
        facts=_facts(result),
        more=_more(result),
    )


def _facts(result: MicrophoneResult) -> list[tuple[str, str]]:
    source = "" if result.source_m is None else metres_and_feet(result.source_m)
    if result.left_db is None:
        return [("Source", source)]
    return [
        ("Gain possible, margin kept", quantity(result.potential_db, "dB")),
        ("Gain needed", quantity(result.needed_db, "dB")),
        ("Left", quantity(result.left_db, "dB")),
        ("Rings first about", quantity(result.octave_hz, "Hz")),
        ("Reached most by", result.box),
        ("Open with it", counted(result.open_microphones - 1, "other")),
        ("Source", source),
        ("Holds with its source at", _holds_at(result)),
    ]


def _holds_at(result: MicrophoneResult) -> str:
    """Rounded down to a centimetre."""
    if result.holds_at_m is None:
        return ""
    return metres_and_feet(math.floor(100 * result.holds_at_m) / 100)


def _more(result: MicrophoneResult) -> list[Json]:
    """Which change brings how much, and which boxes reach it."""
    folds = []
    if result.changes:
        rows = [(_large(one.words), f"+{quantity(one.gain_db, 'dB')}") for one in result.changes]
        folds.append(fold("What helps", table("Each by itself", ("Change", "#Gain"), rows)))
    if result.boxes:
        boxes = [
            (
                box.placement,
                quantity(box.level_db, "dB"),
                f"{number(box.distance_m)} m",
                f"{box.off_front_deg:.0f}°",
            )
            for box in result.boxes
        ]
        heads = ("Box", "#Of all it hears of the rig", "#Away", "#Off its front")
        folds.append(fold("What reaches it", table("Boxes, loudest first", heads, boxes)))
    return folds


def _large(words: str) -> str:
    return words[:1].upper() + words[1:]
