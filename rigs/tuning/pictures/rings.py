"""Which frequencies would ring, and by how much each may still be raised."""

import math
from collections.abc import Iterable, Sequence

from calc.signals.feedback.notches import NotchPlan
from calc.signals.feedback.rings import Ring
from rigs.systems.pictures.frequency import LEFT, RIGHT, Paper, begun, grid, said_hz
from rigs.systems.pictures.svg import Drawing

FOOT = 28.0
ENDS = (60.0, 12_000.0)
SPAN_DB, TOP_DB, NAMES_DB = 15.0, 5.0, 3.5
"""dB from the lowest rule up; no ring is drawn into the uppermost, names stand in them."""

MOST_NAMED, MOST_DRAWN = 6, 24
HALF = 5.0
UNDER_UNIT = 36.0


def rings_now(plan: NotchPlan, width: float) -> str:
    """An upright line for each ring, as long as its margin: the shortest rings first."""
    rings = _rings(plan, (ring for loop in plan.loops for ring in loop.rings))
    return _drawn(plan, "Rings as it is now", rings, (), width)


def rings_with_notches(plan: NotchPlan, width: float) -> str:
    """The same with the notches, each marked where it lies."""
    rings = _rings(plan, (ring for loop in plan.loops for ring in loop.rings_after))
    marks = [one.filter.frequency_hz for one in plan.notches]
    return _drawn(plan, "Rings with the notches", rings, marks, width)


def _rings(plan: NotchPlan, rings: Iterable[Ring]) -> list[tuple[float, float]]:
    """Hz and what is drawn of it, those first that ring first."""
    zero = 0.0 if plan.absolute else plan.margin_before_db
    found = {(ring.frequency_hz, ring.margin_db - zero) for ring in rings}
    return sorted(found, key=lambda one: one[1])[:MOST_DRAWN]


def _drawn(
    plan: NotchPlan,
    title: str,
    rings: Sequence[tuple[float, float]],
    marks: Sequence[float],
    width: float,
) -> str:
    zero = 0.0 if plan.absolute else plan.margin_before_db
    low = 3 * math.floor(min(0.0, plan.margin_before_db - zero) / 3)
    drawing, paper = begun(title, "curves", width, (), ENDS, (low, low + SPAN_DB))
    grid(drawing, paper, 3, "dB left with the notches (dotted)" if marks else "dB of gain left now")
    ground = paper.y(0.0)
    drawing.path([(LEFT, ground), (paper.width - RIGHT, ground)], "limit", 1.6)
    top = low + SPAN_DB - TOP_DB
    for hz, margin in rings:
        if ENDS[0] <= hz <= ENDS[1]:
            x, y = paper.x(hz), paper.y(min(margin, top))
            drawing.path([(x, ground), (x, y)], "curve", 1.6)
            _head(drawing, x, y, margin <= top)
    for hz in marks:
        _notch(drawing, paper, hz)
    if rings:
        _name_first(drawing, paper, rings[0][0])
    words = "; ".join(f"{said_hz(hz)} {margin:.1f} dB" for hz, margin in rings[:MOST_NAMED])
    return drawing.svg(paper.bottom + FOOT, f"In the order in which they would ring: {words}.")


def _head(drawing: Drawing, x: float, y: float, whole: bool) -> None:
    """Filled where the line ends there, hollow where it goes on."""
    corners = [(x - HALF, y), (x, y - HALF), (x + HALF, y), (x, y + HALF)]
    drawing.polygon(corners, "ring", "currentColor" if whole else "none", 1.0)


def _notch(drawing: Drawing, paper: Paper, hz: float) -> None:
    x = paper.x(min(max(hz, ENDS[0]), ENDS[1]))
    ends = [(x, paper.y(0.0)), (x, paper.y(paper.high - NAMES_DB))]
    drawing.path(ends, "curve", 1.4, stroke_dasharray="2 5")


def _name_first(drawing: Drawing, paper: Paper, hz: float) -> None:
    """Under what the axis is named."""
    x = paper.x(min(max(hz, ENDS[0]), ENDS[1]))
    right = x < paper.width / 2
    drawing.text(
        x + (2 if right else -2), paper.top + UNDER_UNIT, f"first: {said_hz(hz)}",
        anchor="start" if right else "end", bold=True,
    )  # fmt: skip
