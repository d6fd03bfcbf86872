"""The gain ladder of a line: which stage clips first, how noisy it is, and what lines them up."""

from rigs.packets.compute import GainLadder
from rigs.packets.pictures import size_of
from rigs.packets.sections.blocks import (
    UNKNOWN,
    Json,
    checklist,
    fold,
    number,
    picture,
    quantity,
    table,
    text,
)
from rigs.systems.pictures import gain_ladder_picture

NONE_STATED = "-"


def ladder_facts(ladder: GainLadder | None) -> list[tuple[str, str]]:
    """What of the ladder stands on the card itself."""
    if ladder is None:
        return []
    return [
        ("Clips first", _first(ladder)),
        ("Level control that lines them up", _aligned(ladder.aligned_level_control_db)),
        ("Hiss at the nearest listener", _hiss(ladder)),
    ]


def ladder_fold(key: str, line: str, ladder: GainLadder | None) -> list[Json]:
    """The ladder as a table and a drawing, one tap away."""
    if ladder is None:
        return []
    across, tall = gain_ladder_picture(ladder), gain_ladder_picture(ladder, upright=True)
    words = "Each stage from its noise up to where it clips, seen from the processor's output."
    parts = [
        *(text(sentence) for sentence in ladder.sentences),
        _stages(ladder),
        picture(key, f"Gain ladder of {line}", words, across, size_of(across), tall),
    ]
    if ladder.unknown:
        parts.append(checklist("Not known yet", ladder.unknown))
    return [fold("Gain ladder", *parts)]


def _first(ladder: GainLadder) -> str:
    if ladder.first_to_clip:
        return ladder.first_to_clip
    known = ladder.first_known_to_clip
    return f"{known}, of what is known" if known else UNKNOWN


def _aligned(value: float | None) -> str:
    if value is None:
        return UNKNOWN
    if value > 0:
        return f"out of reach: {number(value)} dB above fully up"
    return "fully up" if value == 0 else quantity(value, "dB")


def _hiss(ladder: GainLadder) -> str:
    where = "" if ladder.hiss_distance_m is None else f", {number(ladder.hiss_distance_m)} m away"
    if ladder.hiss_db is not None:
        return f"{quantity(ladder.hiss_db, 'dB')} SPL unweighted at most{where}"
    if ladder.hiss_at_least_db is not None:
        return f"at least {quantity(ladder.hiss_at_least_db, 'dB')} SPL unweighted{where}"
    return UNKNOWN


def _stages(ladder: GainLadder) -> Json:
    """Own noise is left open where a stage states none; clipping that is unknown is said."""
    return table(
        "Stage by stage",
        ("Stage", "#Gain before it", "#Clips at", "#Seen at the output", "#Noise", "#All noise"),
        [
            (
                stage.name[:1].upper() + stage.name[1:],
                quantity(stage.gain_db, "dB"),
                quantity(stage.clip_dbu, "dBu"),
                quantity(stage.clip_at_reference_dbu, "dBu"),
                _noise(stage.noise_dbu),
                _noise(stage.total_noise_dbu),
            )
            for stage in ladder.stages
        ],
    )


def _noise(value: float | None) -> str:
    return NONE_STATED if value is None else quantity(value, "dBu")
