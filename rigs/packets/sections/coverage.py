"""What arrives in each audience area: figures, cautions, and the map."""

from collections.abc import Sequence

from rigs.packets.compute import (
    HEARING,
    AreaResult,
    AudienceArea,
    Exposure,
    Finding,
    PlaceResult,
    Prediction,
    RigLevels,
    SystemDescription,
)
from rigs.packets.pictures import coverage_maps, side_picture
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    cautions,
    picture,
    quantity,
    table,
    text,
)

WHOLE_DAY_MIN = 1440

MEANING = (
    "Direct sound with pink noise, every line driven to what its amplifier or its boxes bear "
    "at most, whichever comes first. The room adds to it."
)


ABOUT_AREAS = ("coverage", "exposure")
ABOUT_ALL = ("target",)
EXPOSURE = (
    "Sound taken over the show. An estimate from direct sound, and no certified meter: measure at "
    "the show. WHO 2022: 100 dB LAeq,15min for the audience. 2003/10/EC: action from 80 and 85 dB, "
    "limit 87 dB(A) over 8 h for crew. The local rule has the last word."
)


def coverage_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    if not system.areas:
        return []
    results = {result.name: result for result in prediction.areas}
    side = side_picture(system)
    return [
        *cautions(prediction, HEARING),
        text(MEANING),
        *(
            picture(f"map-{n}", drawn.title, drawn.text, drawn.svg, drawn.size)
            for n, drawn in enumerate(coverage_maps(system, prediction.areas), start=1)
        ),
        *([picture("section", side.title, side.text, side.svg, side.size)] if side else []),
        *_whole(prediction),
        *cards_worst_first(
            [_area(area, results.get(area.name), prediction.findings) for area in system.areas]
        ),
        *_places(prediction.places),
        *_exposures(prediction.exposures),
    ]


def _whole(prediction: Prediction) -> list[Json]:
    """The rig against the wished level, and what gives out first when it is turned up."""
    levels = prediction.levels
    if levels is None:
        return []
    about = [f for f in prediction.findings if f.check in ABOUT_ALL]
    return [card("levels", "The whole audience", "All areas", about, facts=_levels(levels))]


def _levels(levels: RigLevels) -> list[tuple[str, str]]:
    return [
        ("Wished", quantity(levels.target_dba, "dB(A)")),
        ("Most, every line at its limit", quantity(levels.most_dba, "dB(A)")),
        ("Most in balance", quantity(levels.balanced_most_dba, "dB(A)")),
        ("Left to the wish", quantity(levels.headroom_db, "dB")),
        ("First to its limit", levels.first_to_limit),
    ]


def _places(places: Sequence[PlaceResult]) -> list[Json]:
    """What arrives where crew and front row stand."""
    if not places:
        return []
    rows = [
        (p.name, p.kind, quantity(p.level_a_db, "dB(A)"), quantity(p.level_z_db, "dB"))
        for p in places
    ]
    return [table("Crew and front row, at most", ("Place", "Who", "#dB(A)", "#Unweighted"), rows)]


def _exposures(exposures: Sequence[Exposure]) -> list[Json]:
    if not exposures:
        return []
    heads = ("Who", "#LAeq", "From", "#LEX,8h", "#NIOSH dose", "#Minutes left")
    rows = [
        (
            exposure.subject,
            quantity(exposure.laeq_dba, "dB(A)"),
            exposure.level_basis,
            quantity(exposure.lex_8h_dba, "dB"),
            quantity(exposure.niosh_dose_pct, "%"),
            _minutes(exposure.minutes_left),
        )
        for exposure in exposures
    ]
    return [text(EXPOSURE), table("Exposure over the show", heads, rows)]


def _minutes(minutes: float) -> str:
    return "a whole day" if minutes >= WHOLE_DAY_MIN else f"{minutes:.0f} min"


def _area(area: AudienceArea, result: AreaResult | None, findings: Sequence[Finding]) -> Json:
    about = [f for f in findings if f.check in ABOUT_AREAS and f.subject == area.name]
    place = "Stage" if area.kind == "stage" else "Audience area"
    facts = _facts(result) if result else ()
    return card(f"area:{area.name}", area.name, place, about, facts=facts)


def _facts(area: AreaResult) -> list[tuple[str, str]]:
    worst = "" if area.worst_at_m is None else _at(area.worst_at_m)
    return [
        ("Mean", f"{quantity(area.mean_a_db, 'dB(A)')}"),
        ("Loudest", f"{quantity(area.loudest_a_db, 'dB(A)')} {_at(area.loudest_at_m)}"),
        ("Quietest", f"{quantity(area.quietest_a_db, 'dB(A)')} {_at(area.quietest_at_m)}"),
        ("Loudest to quietest, 500 Hz to 4 kHz", quantity(area.spread_mid_db, "dB")),
        ("Within 3 dB of the mean", f"{100 * area.share_within_3_db:.0f} % of the area"),
        ("Front to back, 500 Hz to 4 kHz", quantity(area.front_to_back_db, "dB")),
        ("Worst seat", f"{quantity(area.worst_off_db, 'dB')} off {worst}" if worst else ""),
    ]


def _at(spot: tuple[float, float]) -> str:
    """A spot as the crew would walk to it."""
    x, y = round(spot[0]), round(spot[1])
    side = "on the middle line" if x == 0 else f"{abs(x)} m {'right' if x > 0 else 'left'}"
    return f"at {y} m out, {side}"
