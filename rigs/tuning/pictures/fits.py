"""A fit, drawn: measured, predicted and target, and what was left alone."""

import math
from collections.abc import Sequence

from calc.signals.equalise.answers import Equalisation, SpotCurve
from rigs.systems.pictures.frequency import (
    Curve,
    Paper,
    begun,
    draw,
    ends_of,
    grid,
    reach,
    said_hz,
)
from rigs.systems.pictures.svg import Drawing

FOOT = 28.0
SPAN_DB = 30.0
SHADE = 0.12


def average_picture(found: Equalisation, width: float) -> str:
    """The average of the spots as measured and as predicted, the target, and how far the spots
    differ; what is left alone has its number in the list below, filters a mark at the foot."""
    measured, predicted = _gaps(found.average_db), _gaps(found.predicted_db)
    curves = [
        Curve("measured", measured, 2, 2.0),
        Curve("predicted", predicted, 0, 3.0),
        Curve("target", found.target_db, 1, 1.6),
    ]
    drawing, paper = _paper("The average of the spots", width, curves, found)
    _left_alone(drawing, paper, found)
    _spread(drawing, paper, found)
    draw(drawing, paper, found.frequency_hz, curves)
    _marks(drawing, paper, found)
    words = "Measured, predicted and target, dB. Grey: left alone, by its number."
    return drawing.svg(paper.bottom + FOOT, words)


def again_picture(planned: Equalisation, again_db: Sequence[float | None], width: float) -> str:
    """The average as it was measured again, as it was predicted, and the target."""
    curves = [
        Curve("measured again", _gaps(again_db), 0, 2.4),
        Curve("predicted", _gaps(planned.predicted_db), 2, 2.0),
        Curve("target", planned.target_db, 1, 1.4),
    ]
    drawing, paper = _paper("Measured again", width, curves, planned)
    _left_alone(drawing, paper, planned)
    draw(drawing, paper, planned.frequency_hz, curves)
    words = "Measured again, predicted and target, dB. Grey: left alone."
    return drawing.svg(paper.bottom + FOOT, words)


def then_and_now_picture(
    frequency_hz: Sequence[float],
    then_db: Sequence[float | None],
    now_db: Sequence[float | None],
    width: float,
) -> str:
    """Two averages before any filter: the last time's and this time's."""
    curves = [
        Curve("this time", _gaps(now_db), 0, 2.4),
        Curve("last time", _gaps(then_db), 2, 2.0),
    ]
    levels = reach([curve.values for curve in curves], SPAN_DB)
    drawing, paper = begun(
        "Last time and this time", "curves", width, curves, ends_of(frequency_hz), levels
    )
    grid(drawing, paper, 10, "dB")
    draw(drawing, paper, frequency_hz, curves)
    words = "The average of the spots as it was measured last time and this time, dB."
    return drawing.svg(paper.bottom + FOOT, words)


def spot_picture(found: Equalisation, spot: SpotCurve, width: float) -> str:
    """One spot as it was measured and will be."""
    curves = [
        Curve("measured", _gaps(spot.measured_db), 2, 1.8),
        Curve("predicted", _gaps(spot.predicted_db), 0, 2.4),
        Curve("target", found.target_db, 1, 1.2),
    ]
    drawing, paper = _paper(spot.name, width, curves, found)
    draw(drawing, paper, found.frequency_hz, curves)
    drawing.text(paper.width - 10, paper.top + 16, spot.name, anchor="end", bold=True)
    return drawing.svg(paper.bottom + FOOT, f"{spot.name}: measured, predicted and target, dB.")


def work_picture(found: Equalisation, width: float) -> str:
    """What all filters together do, and where each stands."""
    top = 3 * math.ceil((max([3.0, *found.equaliser_db]) + 0.5) / 3)
    low = 3 * math.floor((min([-3.0, *found.equaliser_db]) - 0.5) / 3)
    curve = Curve("all filters", found.equaliser_db, 0, 2.4)
    drawing, paper = begun(
        "What the filters do", "curves", width, [curve], ends_of(found.frequency_hz), (low, top)
    )
    grid(drawing, paper, 3, "dB")
    draw(drawing, paper, found.frequency_hz, [curve])
    for part in found.filters:
        if paper.low_hz <= part.frequency_hz <= paper.high_hz and part.gain_db:
            x, y = paper.x(part.frequency_hz), paper.y(part.gain_db)
            drawing.path([(x, paper.y(0)), (x, y)], "curve", 1.2)
            drawing.path([(x - 4, y), (x + 4, y)], "curve", 3.0)
    lift, at = max(zip(found.equaliser_db, found.frequency_hz, strict=True))
    cut, below = min(zip(found.equaliser_db, found.frequency_hz, strict=True))
    words = f"At most {lift:+.1f} dB at {said_hz(at)}, at least {cut:+.1f} dB at {said_hz(below)}."
    return drawing.svg(paper.bottom + FOOT, words)


def _paper(
    title: str, width: float, curves: Sequence[Curve], found: Equalisation
) -> tuple[Drawing, Paper]:
    levels = reach([curve.values for curve in curves], SPAN_DB)
    drawing, paper = begun(title, "curves", width, curves, ends_of(found.frequency_hz), levels)
    grid(drawing, paper, 10, "dB")
    return drawing, paper


def _spread(drawing: Drawing, paper: Paper, found: Equalisation) -> None:
    """A band of one standard deviation both ways around what was measured."""
    rows = zip(found.frequency_hz, found.average_db, found.spread_db, strict=True)
    runs: list[list[tuple[float, float, float]]] = [[]]
    for hz, level, spread in rows:
        if level is None or spread is None:
            runs.append([])
        else:
            runs[-1].append((paper.x(hz), paper.y(level + spread), paper.y(level - spread)))
    for run in runs:
        if len(run) > 1:
            above, below = [(x, y) for x, y, _ in run], [(x, y) for x, _, y in run]
            drawing.polygon(above + below[::-1], "spread", "currentColor", SHADE)


def _marks(drawing: Drawing, paper: Paper, found: Equalisation) -> None:
    """A wedge at the foot for each filter."""
    for part in found.filters:
        if part.gain_db and paper.low_hz <= part.frequency_hz <= paper.high_hz:
            x, y = paper.x(part.frequency_hz), paper.bottom
            wedge = [(x - 5, y), (x + 5, y), (x, y - 11)]
            drawing.polygon(wedge, "mark", "currentColor")


def _left_alone(drawing: Drawing, paper: Paper, found: Equalisation) -> None:
    """Each range in grey, under its number in `left_alone`, told in turn on two heights."""
    for number, part in enumerate(found.left_alone, start=1):
        low, high = max(part.low_hz, paper.low_hz), min(part.high_hz, paper.high_hz)
        if high > low:
            left, right = paper.x(low), paper.x(high)
            corners = [
                (left, paper.top), (right, paper.top), (right, paper.bottom), (left, paper.bottom),
            ]  # fmt: skip
            drawing.polygon(corners, "alone", "currentColor", SHADE)
            y = paper.top + 16 + (number % 2) * 16
            middle = min((left + right) / 2, paper.width - 16)
            drawing.text(middle, y, str(number), anchor="middle", bold=True)


def _gaps(values: Sequence[float | None]) -> list[float]:
    return [math.nan if value is None else value for value in values]
