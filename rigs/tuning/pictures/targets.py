"""Target curves, drawn: a large paper on which points can be dragged, and small ones for lists."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rigs.systems.pictures.frequency import (
    LEFT,
    NARROW,
    RIGHT,
    WIDE,
    Paper,
    begun,
    grid,
    said_hz,
)
from rigs.systems.pictures.svg import Drawing
from rigs.tuning.aiming import HIGHEST_HZ, LOWEST_HZ, MOST_DB

Points = Sequence[Sequence[float]]

ENDS = (LOWEST_HZ, HIGHEST_HZ)
HIGH_SHARES = {WIDE: 0.55, NARROW: 0.9}  # of the width: a finger needs height
FOOT = 28.0
SMALL_WIDE, SMALL_HIGH, SMALL_STEP_DB = 180.0, 64.0, 12.0


@dataclass(frozen=True, slots=True)
class Board:
    """A drawing, and where its paper lies on it in the drawing's units."""

    svg: str
    wide: bool
    left: float
    right: float
    top: float
    bottom: float


def boards(points: Points) -> tuple[Board, Board]:
    """The paper of all that a target may have, with a curve on it: wide and narrow."""
    return _board(points, WIDE), _board(points, NARROW)


def small_pictures(curves: Sequence[tuple[str, Points]]) -> list[str]:
    """One small picture for each named curve, all of them on the same scale of level."""
    most = max((abs(db) for _, points in curves for _, db in points), default=0.0)
    reach = SMALL_STEP_DB * max(math.ceil(most / SMALL_STEP_DB), 1)
    return [_small(name, points, reach) for name, points in curves]


def _board(points: Points, width: float) -> Board:
    drawing, paper = begun("Target curve", "curves", width, (), ENDS, (-MOST_DB, MOST_DB))
    paper.height = width * HIGH_SHARES[width]
    grid(drawing, paper, 6, "dB")
    drawing.path(_route(paper, [(LOWEST_HZ, 0.0)]), "rule", 2)
    # Without points there is nothing to see yet, but a line that can be laid through new ones.
    drawing.path(_route(paper, points), "curve aim", 3.0)
    for hz, db in points:
        drawing.dot(paper.x(hz), paper.y(db), 4, "aim-point")
    svg = drawing.svg(paper.bottom + FOOT, _words(points))
    return Board(svg, width == WIDE, LEFT, width - RIGHT, paper.top, paper.bottom)


def _small(name: str, points: Points, reach: float) -> str:
    """Nothing but the line: no figures, so no margin for them either."""
    drawing = Drawing(SMALL_WIDE, name, "small-curve")
    paper = Paper(SMALL_WIDE + LEFT + RIGHT, *ENDS, -reach, reach, top=2)
    paper.height = SMALL_HIGH - 4
    level = [(x - LEFT, y) for x, y in _route(paper, [(LOWEST_HZ, 0.0)])]
    drawing.path(level, "rule", 2)
    drawing.path([(x - LEFT, y) for x, y in _route(paper, points)], "curve", 2.4)
    return drawing.svg(SMALL_HIGH, _words(points))


def _route(paper: Paper, points: Points) -> list[tuple[float, float]]:
    """Straight between points over the logarithm of frequency; level beyond the ends."""
    if not points:
        return []
    inner: Iterable[Sequence[float]] = points
    route = [(LOWEST_HZ, points[0][1]), *inner, (HIGHEST_HZ, points[-1][1])]
    return [(paper.x(hz), paper.y(db)) for hz, db in route]


def _words(points: Points) -> str:
    told = ", ".join(f"{db:+g} dB at {said_hz(hz)}" for hz, db in points)
    return f"{told}." if told else "No point yet."
