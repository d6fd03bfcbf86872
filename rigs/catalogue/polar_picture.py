"""The drawing of a polar diagram: pure SVG, no style attributes, readable without colour.

Seen from above the axis points up the page, from the side it points to the right. Rings stand
6 dB apart, the outermost is the level on the axis; each band has a dash pattern of its own, named
in the legend.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from django.utils.safestring import SafeString, mark_safe

SIZE, RADIUS = 388.0, 138.0
MIDDLE_X, MIDDLE_Y = 194.0, 176.0
FLOOR_DB, RING_DB = -30, 6
DASHES = ("", "9 4", "2 4", "12 4 2 4")
LEGEND_Y = 350.0


@dataclass(frozen=True, slots=True)
class Trace:
    """One band: its name, angles from -180 to 180 degrees, and levels in dB re the axis."""

    name: str
    angles_deg: Sequence[float]
    level_db: Sequence[float]

    def at(self, angle: float) -> float:
        """The level at the nearest angle."""
        nearest = min(range(len(self.angles_deg)), key=lambda n: abs(self.angles_deg[n] - angle))
        return self.level_db[nearest]


def polar_picture(title: str, traces: Sequence[Trace], from_side: bool = False) -> SafeString:
    """Levels round the box: seen from above (90 degrees is right) or from the side (90 is up)."""
    rows = math.ceil(len(traces) / 2)
    parts = [
        f'<svg class="polar" role="img" viewBox="0 0 {SIZE:.0f} {LEGEND_Y + 24 * rows:.0f}" '
        'xmlns="http://www.w3.org/2000/svg" font-size="14">',
        f"<title>{escape(title)}</title><desc>{escape(_describe(traces))}</desc>",
        *_rings(from_side),
        *_spokes(from_side),
        *(line for n, trace in enumerate(traces) for line in _trace(n, trace, from_side)),
        "</svg>",
    ]
    return mark_safe("".join(parts))


def _spot(angle: float, level: float, from_side: bool) -> tuple[float, float]:
    """Where a level at an angle lies; loud is far from the middle."""
    share = (min(max(level, FLOOR_DB), 6) - FLOOR_DB) / -FLOOR_DB
    turn = math.radians(90 - angle if from_side else angle)
    return (
        MIDDLE_X + RADIUS * share * math.sin(turn),
        MIDDLE_Y - RADIUS * share * math.cos(turn),
    )


def _rings(from_side: bool) -> Iterator[str]:
    for level in range(FLOOR_DB + RING_DB, 1, RING_DB):
        radius = RADIUS * (level - FLOOR_DB) / -FLOOR_DB
        yield (
            f'<circle class="grid" cx="{MIDDLE_X:g}" cy="{MIDDLE_Y:g}" r="{radius:.1f}" '
            'fill="none" stroke="currentColor"/>'
        )
        x, y = _spot(150, level, from_side)
        yield _text(x, y + 5, f"{level}", "middle", "tick")


def _spokes(from_side: bool) -> Iterator[str]:
    for angle in range(-180, 180, 30):
        x, y = _spot(angle, 0, from_side)
        yield (
            f'<path class="grid" d="M{MIDDLE_X:g} {MIDDLE_Y:g}L{x:.1f} {y:.1f}" '
            'stroke="currentColor"/>'
        )
    for angle in (-60, -30, 30, 60):
        x, y = _spot(angle, 3.2, from_side)
        yield _text(x, y + 5, f"{angle}°", "middle", "tick")
    top, left, right = ("up", "behind", "0°") if from_side else ("0° (the axis)", "left", "right")
    yield _text(MIDDLE_X, 20, top, "middle", "tick")
    yield _text(MIDDLE_X - RADIUS - 6, MIDDLE_Y - 6, left, "end", "tick")
    yield _text(MIDDLE_X + RADIUS + 6, MIDDLE_Y - 6, right, "start", "tick")


def _trace(n: int, trace: Trace, from_side: bool) -> Iterator[str]:
    points = zip(trace.angles_deg, trace.level_db, strict=True)
    route = " ".join(f"{x:.1f},{y:.1f}" for x, y in (_spot(a, db, from_side) for a, db in points))
    yield _line(route, n)
    x, y = 24 + 184 * (n % 2), LEGEND_Y + 24 * (n // 2)
    yield _line(f"{x:g},{y:g} {x + 56:g},{y:g}", n)
    yield _text(x + 64, y + 5, trace.name, "start", "trace-name")


def _line(route: str, n: int) -> str:
    dashes = DASHES[n % len(DASHES)]
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<polyline class="trace" points="{route}" fill="none" stroke="currentColor" '
        f'stroke-width="2"{more}/>'
    )


def _text(x: float, y: float, words: str, anchor: str, css: str) -> str:
    return (
        f'<text class="{css}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
        f'fill="currentColor">{escape(words)}</text>'
    )


def _describe(traces: Sequence[Trace]) -> str:
    words = [
        f"{trace.name}: {trace.at(30):.1f} dB at 30 degrees, {trace.at(60):.1f} at 60, "
        f"{trace.at(90):.1f} at 90, {trace.at(180):.1f} behind"
        for trace in traces
    ]
    return "Level re the axis. " + "; ".join(words) + "."
