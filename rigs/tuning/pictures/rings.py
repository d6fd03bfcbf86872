"""Which frequencies would ring, and by how much each may still be raised."""

import math

from calc.signals.feedback.notches import NotchPlan
from rigs.systems.pictures.frequency import LEFT, RIGHT, Curve, begun, grid, said_hz
from rigs.systems.pictures.svg import Drawing

FOOT = 28.0
ENDS = (60.0, 12_000.0)
SPAN_DB = 18.0
MOST_NAMED = 6
HALF = 5.0


def rings_picture(plan: NotchPlan, width: float) -> str:
    """An upright line for each ring, as long as its margin: the shortest rings first.

    Hollow heads: as it is now; filled ones: what is left with the notches.
    """
    first = plan.margin_before_db
    zero = 0.0 if plan.absolute else first
    before = [(r.frequency_hz, r.margin_db - zero) for loop in plan.loops for r in loop.rings]
    after = [(r.frequency_hz, r.margin_db - zero) for loop in plan.loops for r in loop.rings_after]
    low = min([0.0, *(db for _, db in before)])
    low = 3 * math.floor(low / 3)
    legend = [Curve("now: hollow", (), 2, 1.2), Curve("with the notches: filled", (), 0, 2.4)]
    drawing, paper = begun(
        "Rings and their margins", "curves", width, legend, ENDS, (low, low + SPAN_DB)
    )
    grid(drawing, paper, 3, "dB of gain left")
    zero_y = paper.y(0.0)
    drawing.path([(LEFT, zero_y), (paper.width - RIGHT, zero_y)], "limit", 1.6)
    for rings, filled in ((before, False), (after, True)):
        for hz, margin in rings:
            if ENDS[0] <= hz <= ENDS[1] and margin <= low + SPAN_DB:
                x, y = paper.x(hz), paper.y(margin)
                thick = 2.4 if filled else 1.2
                more = {} if filled else {"stroke_dasharray": "2 4"}
                drawing.path([(x, zero_y), (x, y)], "curve", thick, **more)
                _head(drawing, x, y, filled)
    for hz, margin in sorted(before, key=lambda one: one[1])[:1]:
        x = paper.x(min(max(hz, ENDS[0]), ENDS[1]))
        right = x < paper.width / 2
        drawing.text(
            x + (8 if right else -8), paper.y(margin) - 8, f"first: {said_hz(hz)}",
            anchor="start" if right else "end", bold=True,
        )  # fmt: skip
    words = "; ".join(
        f"{said_hz(hz)} {margin:.1f} dB"
        for hz, margin in sorted(before, key=lambda one: one[1])[:MOST_NAMED]
    )
    return drawing.svg(paper.bottom + FOOT, f"In the order in which they would ring: {words}.")


def _head(drawing: Drawing, x: float, y: float, filled: bool) -> None:
    corners = [(x - HALF, y), (x, y - HALF), (x + HALF, y), (x, y + HALF)]
    drawing.polygon(corners, "ring", "currentColor" if filled else "none", 1.0)
