"""What all spots hear, laid over each other: each by its number, their average, their spread."""

import math
from collections.abc import Sequence

from calc.signals.equalise.mask import AGREE_DB, DISAGREE_DB
from calc.signals.equalise.spots import Heard
from rigs.systems.pictures.frequency import (
    LEFT,
    RIGHT,
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

SPREAD_TOP_DB = 12.0
FOOT = 28.0


def spots_picture(
    names: Sequence[str], heard: Heard, frequency_hz: Sequence[float], width: float
) -> str:
    """Levels of the spots, thin, with their numbers; the weighted power average, thick."""
    rows = [
        [float(v) if ok else math.nan for v, ok in zip(level, known, strict=True)]
        for level, known in zip(heard.level_db, heard.known, strict=True)
    ]
    average = [
        float(v) if ok else math.nan for v, ok in zip(heard.average_db, heard.enough, strict=True)
    ]
    legend = [Curve("average", average, 0, 3.0), Curve("each spot, by its number", (), 1, 1.0)]
    drawing, paper = begun(
        "Levels at the spots, each re its own from 200 Hz to 4 kHz", "curves", width, legend,
        ends_of(frequency_hz), reach([*rows, average], 40.0),
    )  # fmt: skip
    grid(drawing, paper, 10, "dB")
    draw(
        drawing,
        paper,
        frequency_hz,
        [Curve(n, r, 1, 1.0) for n, r in zip(names, rows, strict=True)],
    )
    draw(drawing, paper, frequency_hz, legend[:1])
    for number, row in enumerate(rows):
        _number(drawing, paper, frequency_hz, row, number, len(rows))
    named = ", ".join(f"{n}: {name}" for n, name in enumerate(names, start=1))
    return drawing.svg(paper.bottom + FOOT, f"Spots by number: {named}.")


def _number(
    drawing: Drawing,
    paper: Paper,
    frequency_hz: Sequence[float],
    row: Sequence[float],
    number: int,
    count: int,
) -> None:
    """Its number beside the line, each at another frequency so that they don't cover each other."""
    known = [n for n, value in enumerate(row) if math.isfinite(value)]
    if known:
        at = known[round((number + 0.5) / count * (len(known) - 1))]
        x, y = paper.x(frequency_hz[at]), paper.y(row[at])
        drawing.text(x, y - 6, str(number + 1), anchor="middle", bold=True)


def spread_picture(heard: Heard, frequency_hz: Sequence[float], width: float) -> str:
    """The standard deviation between spots, with the levels that decide about filters."""
    spread = [
        float(v) if ok else math.nan for v, ok in zip(heard.spread_db, heard.enough, strict=True)
    ]
    curve = Curve("spread", spread, 0, 2.2)
    drawing, paper = begun(
        "How far the spots differ", "curves", width, [curve],
        ends_of(frequency_hz), (0, SPREAD_TOP_DB),
    )  # fmt: skip
    grid(drawing, paper, 3, "dB", 1)
    for level, dash in ((AGREE_DB, "2 4"), (DISAGREE_DB, "9 4")):
        y = paper.y(level)
        ends = [(LEFT, y), (paper.width - RIGHT, y)]
        drawing.path(ends, "limit", 1.2, stroke_dasharray=dash)
    draw(drawing, paper, frequency_hz, [curve])
    told = [value for value in spread if math.isfinite(value)]
    at = max(range(len(spread)), key=lambda n: spread[n] if math.isfinite(spread[n]) else -1)
    words = f"At most {max(told):.1f} dB, at {said_hz(frequency_hz[at])}." if told else "Unknown."
    return drawing.svg(paper.bottom + FOOT, f"Standard deviation between the spots. {words}")
