"""What arrives in each audience area: figures, cautions, and the map."""

from collections.abc import Sequence

from rigs.packets.compute import HEARING, AreaResult, Finding, Prediction, SystemDescription
from rigs.packets.pictures import coverage_maps
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    cautions,
    picture,
    quantity,
    text,
)

MEANING = (
    "Direct sound with pink noise, every line driven to what its amplifier or its boxes bear "
    "at most, whichever comes first. The room adds to it."
)


ABOUT_AREAS = ("coverage", "exposure")


def coverage_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    if not system.areas:
        return []
    results = {result.name: result for result in prediction.areas}
    return [
        *cautions(prediction, HEARING),
        text(MEANING),
        *(
            picture(f"map-{n}", drawn.title, drawn.text, drawn.svg, drawn.size)
            for n, drawn in enumerate(coverage_maps(system, prediction.areas), start=1)
        ),
        *cards_worst_first(
            [_area(area.name, results.get(area.name), prediction.findings) for area in system.areas]
        ),
    ]


def _area(name: str, result: AreaResult | None, findings: Sequence[Finding]) -> Json:
    about = [f for f in findings if f.check in ABOUT_AREAS and f.subject == name]
    return card(
        f"area:{name}", name, "Audience area", about, facts=_facts(result) if result else ()
    )


def _facts(area: AreaResult) -> list[tuple[str, str]]:
    return [
        ("Mean", f"{quantity(area.mean_a_db, 'dB(A)')}"),
        ("Loudest", f"{quantity(area.loudest_a_db, 'dB(A)')} {_at(area.loudest_at_m)}"),
        ("Quietest", f"{quantity(area.quietest_a_db, 'dB(A)')} {_at(area.quietest_at_m)}"),
        ("Loudest to quietest, 500 Hz to 4 kHz", quantity(area.spread_mid_db, "dB")),
        ("Within 3 dB of the mean", f"{100 * area.share_within_3_db:.0f} % of the area"),
    ]


def _at(spot: tuple[float, float]) -> str:
    """A spot as the crew would walk to it."""
    x, y = round(spot[0]), round(spot[1])
    side = "on the middle line" if x == 0 else f"{abs(x)} m {'right' if x > 0 else 'left'}"
    return f"at {y} m out, {side}"
