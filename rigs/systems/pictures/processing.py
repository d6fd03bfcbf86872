"""What processing does, drawn: an output's filters, ways and their sum, phase between two sides."""

from collections.abc import Sequence

from calc.prediction import AlignmentResult, CrossoverResult
from calc.words import level, number
from rigs.systems.pictures.frequency import (
    LEFT,
    RIGHT,
    WIDE,
    Curve,
    Paper,
    begun,
    draw,
    draw_turning,
    ends_of,
    grid,
    mark,
    reach,
    said_hz,
)
from rigs.systems.pictures.svg import Drawing

STEP_DB, STEP_DEG = 10, 45
RUNS_TOGETHER_DEG = 60.0
"""Within this phase two sides run together (common practice, no source)."""
ROOM = 2.0
"""A picture of an overlap reaches this much further, as a ratio."""


def filters_picture(
    name: str,
    frequency_hz: Sequence[float],
    level_db: Sequence[float],
    width: float = WIDE,
) -> str:
    """The level of one output's filters, gain in it; delay and polarity change no level."""
    top = max(STEP_DB * -(-max(*level_db, 1) // STEP_DB), STEP_DB)
    curve = Curve(name, level_db)
    drawing, paper = begun(
        f"Level of {name}", "curves", width, [curve],
        ends_of(frequency_hz), (top - 50, top),
    )  # fmt: skip
    grid(drawing, paper, STEP_DB, "dB")
    draw(drawing, paper, frequency_hz, [curve])
    return drawing.svg(paper.bottom + 28, _told(frequency_hz, [curve], "dB"))


def filter_phase_picture(
    name: str,
    frequency_hz: Sequence[float],
    phase_deg: Sequence[float],
    width: float = WIDE,
) -> str:
    """The phase of one output's filters and polarity, delay left out."""
    curve = Curve(name, phase_deg)
    drawing, paper = begun(
        f"Phase of {name}, its delay left out", "curves", width, [curve],
        ends_of(frequency_hz), (-180, 180),
    )  # fmt: skip
    grid(drawing, paper, STEP_DEG, "degrees", 2)
    draw_turning(drawing, paper, frequency_hz, [curve])
    return drawing.svg(paper.bottom + 28, _told(frequency_hz, [curve], "degrees"))


def ways_picture(result: CrossoverResult, width: float = WIDE) -> str:
    """Two neighbouring ways and their sum, with the frequency at which both are equally loud."""
    curves = [
        Curve(result.lower, result.lower_db, 1, 1.6),
        Curve(result.upper, result.upper_db, 2, 1.6),
        Curve("sum", result.sum_db_curve, 0, 2.6),
    ]
    where = f" at {result.spot}" if result.spot else " on the axis"
    drawing, paper = begun(
        f"{result.subject}: {result.lower}, {result.upper} and their sum{where}",
        "curves", width, curves, ends_of(result.frequency_hz),
        reach([curve.values for curve in curves]),
    )  # fmt: skip
    grid(drawing, paper, STEP_DB, "dB")
    draw(drawing, paper, result.frequency_hz, curves)
    if result.crossover_hz is not None:
        mark(drawing, paper, result.crossover_hz, said_hz(result.crossover_hz))
    return drawing.svg(paper.bottom + 28, _crossover_words(result))


def ways_phase_picture(result: CrossoverResult, width: float = WIDE) -> str:
    """The phase of two neighbouring ways, the common flight time taken out."""
    curves = [
        Curve(result.lower, result.lower_phase_deg, 1, 1.8),
        Curve(result.upper, result.upper_phase_deg, 2, 1.8),
    ]
    drawing, paper = begun(
        f"{result.subject}: phase of {result.lower} and {result.upper}",
        "curves", width, curves, ends_of(result.frequency_hz), (-180, 180),
    )  # fmt: skip
    grid(drawing, paper, STEP_DEG, "degrees", 2)
    draw_turning(drawing, paper, result.frequency_hz, curves)
    if result.crossover_hz is not None:
        mark(drawing, paper, result.crossover_hz, said_hz(result.crossover_hz))
    return drawing.svg(paper.bottom + 28, _crossover_words(result))


def between_picture(result: AlignmentResult, width: float = WIDE) -> str:
    """The phase between both sides, as set and after, with the band in which they run together."""
    curves = [
        Curve("as set", result.phase_deg, 1, 1.8),
        Curve("after the change", result.best_phase_deg, 0, 2.6),
    ]
    curves = [curve for curve in curves if curve.values]
    drawing, paper = begun(
        f"{result.name}: phase between both sides at {result.spot}",
        "curves", width, curves, _around(result), (-180, 180),
    )  # fmt: skip
    grid(drawing, paper, STEP_DEG, "degrees", 2)
    _together(drawing, paper)
    _overlap(drawing, paper, result.overlap_hz)
    draw_turning(drawing, paper, result.frequency_hz, curves)
    return drawing.svg(paper.bottom + 28, _between_words(result))


def sides_picture(result: AlignmentResult, width: float = WIDE) -> str:
    """The level of each side and of their sum, as set and after."""
    curves = [
        Curve("moved", result.moved_db, 2, 1.6),
        Curve("reference", result.reference_db, 3, 1.6),
        Curve("sum as set", result.sum_db_curve, 1, 1.8),
        Curve("sum after", result.best_sum_db_curve, 0, 2.6),
    ]
    curves = [curve for curve in curves if curve.values]
    drawing, paper = begun(
        f"{result.name}: level of each side and of their sum at {result.spot}",
        "curves", width, curves, _around(result),
        reach([curve.values for curve in curves]),
    )  # fmt: skip
    grid(drawing, paper, STEP_DB, "dB")
    _overlap(drawing, paper, result.overlap_hz)
    draw(drawing, paper, result.frequency_hz, curves)
    return drawing.svg(paper.bottom + 28, _between_words(result))


def _around(result: AlignmentResult) -> tuple[float, float]:
    """The overlap and some room on both sides: beyond it the phase says nothing."""
    low, high = ends_of(result.frequency_hz)
    if len(result.overlap_hz) != 2:
        return low, high
    return max(result.overlap_hz[0] / ROOM, low), min(result.overlap_hz[1] * ROOM, high)


def _together(drawing: Drawing, paper: Paper) -> None:
    """The band of phase in which two sides help each other: tinted, edged and named."""
    high, low = paper.y(RUNS_TOGETHER_DEG), paper.y(-RUNS_TOGETHER_DEG)
    right = paper.width - RIGHT
    corners = [(LEFT, high), (right, high), (right, low), (LEFT, low)]
    drawing.polygon(corners, "together", "currentColor", 0.1)
    words = f"within ±{RUNS_TOGETHER_DEG:g}°"
    drawing.text(right - 6, high - 6, words, anchor="end")


def _overlap(drawing: Drawing, paper: Paper, overlap_hz: Sequence[float]) -> None:
    """Where both sides are about equally loud: the only place where the phase matters."""
    if len(overlap_hz) != 2:
        return
    left, right = (paper.x(min(max(hz, paper.low_hz), paper.high_hz)) for hz in overlap_hz)
    for x in (left, right):
        drawing.path([(x, paper.top), (x, paper.bottom)], "limit", 1.2, stroke_dasharray="2 3")
    y = paper.bottom - 8
    drawing.path([(left, y), (right, y)], "limit", 3)
    middle = min(max((left + right) / 2, LEFT + 30), paper.width - RIGHT - 30)
    drawing.text(middle, y - 6, "overlap", anchor="middle")


def _told(frequency_hz: Sequence[float], curves: Sequence[Curve], unit: str) -> str:
    """A few points of each line in words."""
    told = []
    for curve in curves:
        points = [
            f"{said_hz(hz)} {number(value)} {unit}"
            for hz, value in list(zip(frequency_hz, curve.values, strict=True))[
                :: max(len(frequency_hz) // 10, 1)
            ]
        ]
        told.append(f"{curve.name}: {', '.join(points)}.")
    return " ".join(told)


def _crossover_words(result: CrossoverResult) -> str:
    if result.crossover_hz is None:
        return f"{result.lower} and {result.upper} are nowhere equally loud."
    told = f"{result.lower} and {result.upper} are equally loud at {said_hz(result.crossover_hz)}"
    if result.phase_deg is not None and result.sum_db is not None:
        told += (
            f", {result.phase_deg:.0f} degrees apart; "
            f"the sum is there {level(result.sum_db)} re the louder"
        )
    return f"{told}."


def _between_words(result: AlignmentResult) -> str:
    told = list(result.sentences)
    if result.worst_phase_deg is not None and result.best_worst_phase_deg is not None:
        now, after = result.worst_phase_deg, result.best_worst_phase_deg
        told.insert(
            0,
            f"In the overlap the largest phase between both is {now:.0f} degrees as set and "
            f"{after:.0f} degrees after the change.",
        )
    return " ".join(told) or "Nothing can be told about the overlap of both sides."
