"""The gain ladder of a line: which stage clips first, how noisy it is, and what lines them up."""

from rigs.packets.compute import GainLadder
from rigs.packets.pictures import size_of
from rigs.packets.sections.blocks import (
    UNKNOWN,
    Json,
    checklist,
    figures,
    fold,
    number,
    picture,
    quantity,
    table,
    text,
)
from rigs.systems.pictures import gain_ladder_picture

NONE_STATED = "none stated"


def ladder_facts(ladder: GainLadder | None) -> list[tuple[str, str]]:
    """What of the ladder stands on the card itself."""
    if ladder is None:
        return []
    return [
        ("Clips first", _first(ladder)),
        ("Hiss at the nearest listener", _hiss(ladder)),
    ]


def ladder_fold(key: str, ladder: GainLadder | None) -> list[Json]:
    """The ladder as a drawing and a table, one tap away. It names no line: many have the same."""
    if ladder is None:
        return []
    across, tall = gain_ladder_picture(ladder), gain_ladder_picture(ladder, upright=True)
    words = "Each stage from its noise up to where it clips, seen from the processor's output."
    parts = [
        figures(("Level control that lines them up", _aligned(ladder.aligned_level_control_db))),
        *(text(sentence) for sentence in ladder.sentences),
        picture(key, "Gain ladder", words, across, size_of(across), tall),
        _stages(ladder),
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
    """ "At output" is the clipping level as the processor's output sees it."""
    return table(
        "Stage by stage",
        ("Stage", "#Gain before", "#Clips at", "#At output", "#Own noise", "#All noise"),
        [
            (
                stage.name[:1].upper() + stage.name[1:],
                quantity(stage.gain_db, "dB"),
                quantity(stage.clip_dbu, "dBu"),
                quantity(stage.clip_at_reference_dbu, "dBu"),
                NONE_STATED if stage.noise_dbu is None else quantity(stage.noise_dbu, "dBu"),
                quantity(stage.total_noise_dbu, "dBu"),
            )
            for stage in ladder.stages
        ],
    )
