"""Plan drawings of spaces: pure SVG, no style attributes, readable by a screen reader."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from itertools import chain

from django.utils.safestring import SafeString, mark_safe

from venues.models import Space
from venues.polygons import Point, signed_area_m2

WIDTH, HEIGHT = 640.0, 480.0
MARGIN = 56.0
SCALE_BARS_M = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True, slots=True)
class Outline:
    """An audience area: its name and its corners in metres."""

    name: str
    corners: Sequence[Point]


@dataclass(frozen=True, slots=True)
class Mark:
    """A hang point: its name and where it is, in metres."""

    name: str
    at: Point


@dataclass(frozen=True, slots=True)
class View:
    """From metres to the drawing. y points up the page, so the stage lies at the bottom."""

    left_m: float
    bottom_m: float
    scale: float
    height: float

    def x(self, metres: float) -> float:
        return MARGIN + (metres - self.left_m) * self.scale

    def y(self, metres: float) -> float:
        return self.height - MARGIN - (metres - self.bottom_m) * self.scale


def plan_of_space(space: Space) -> SafeString:
    """The plan of a stored space; "" while nothing is there to draw."""
    areas = [
        Outline(area.name, [(float(x), float(y)) for x, y in area.corners])
        for area in sorted(space.areas.all(), key=lambda area: area.floor_z_m)
    ]
    points = [Mark(p.name, (p.x_m, p.y_m)) for p in space.hang_points.all()]
    return plan(str(space), areas, points) if areas or points else mark_safe("")


def plan(title: str, areas: Sequence[Outline], marks: Sequence[Mark]) -> SafeString:
    """A plan seen from above, the stage side at the bottom. Lengths in metres."""
    view = _view(chain.from_iterable([*(a.corners for a in areas), [m.at for m in marks]]))
    description = _describe(areas, marks)
    parts = [
        f'<svg class="plan" role="img" viewBox="0 0 {WIDTH:.0f} {view.height:.0f}" '
        f'xmlns="http://www.w3.org/2000/svg" font-size="14">',
        f"<title>Plan of {escape(title)}</title><desc>{escape(description)}</desc>",
        *_stage_side(view),
        *chain.from_iterable(_area(view, area) for area in areas),
        *chain.from_iterable(_mark(view, mark) for mark in marks),
        *_scale_bar(view),
        "</svg>",
    ]
    return mark_safe("".join(parts))


def _view(points: Iterable[Point]) -> View:
    xs, ys = zip(*points, (0.0, 0.0), strict=True)  # the stage front's middle is always in view
    wide, high = max(max(xs) - min(xs), 1.0), max(max(ys) - min(ys), 1.0)
    scale = min((WIDTH - 2 * MARGIN) / wide, (HEIGHT - 2 * MARGIN) / high)
    spare = (WIDTH - 2 * MARGIN) / scale - wide
    return View(min(xs) - spare / 2, min(ys), scale, high * scale + 2 * MARGIN)


def _area(view: View, area: Outline) -> Iterable[str]:
    corners = " ".join(f"{view.x(x):.1f},{view.y(y):.1f}" for x, y in area.corners)
    yield (
        f'<polygon class="plan-area" points="{corners}" fill="none" stroke="currentColor" '
        'stroke-width="2"/>'
    )
    x, y = _middle(area.corners)
    yield _text(view.x(x), view.y(y), area.name, "middle", "plan-name")
    for number, (cx, cy) in enumerate(area.corners, start=1):
        nearer = (cx + (x - cx) * 0.02, cy + (y - cy) * 0.02)
        yield (
            f'<circle class="plan-corner" cx="{view.x(cx):.1f}" cy="{view.y(cy):.1f}" r="3" '
            'fill="currentColor"/>'
        )
        anchor = "start" if cx <= x else "end"
        shift = 8 if cx <= x else -8
        yield _text(
            view.x(nearer[0]) + shift,
            view.y(nearer[1]) + (-6 if cy <= y else 16),
            str(number),
            anchor,
            "plan-number",
        )


def _mark(view: View, mark: Mark) -> Iterable[str]:
    x, y = view.x(mark.at[0]), view.y(mark.at[1])
    yield (
        f'<path class="plan-hang" d="M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12" '
        'fill="none" stroke="currentColor" stroke-width="2"/>'
    )
    yield _text(x + 10, y + 5, mark.name, "start", "plan-hang-name")


def _stage_side(view: View) -> Iterable[str]:
    y = view.y(0.0)
    yield (
        f'<path class="plan-stage" d="M{MARGIN / 2:.0f} {y:.1f}H{WIDTH - MARGIN / 2:.0f}" '
        'fill="none" stroke="currentColor" stroke-dasharray="6 6"/>'
    )
    yield _text(view.x(0.0), y + 20, "stage side (y = 0)", "middle", "plan-stage-name")


def _scale_bar(view: View) -> Iterable[str]:
    metres = max((m for m in SCALE_BARS_M if m * view.scale <= WIDTH / 4), default=1)
    right, y = WIDTH - MARGIN / 2, view.height - 12
    left = right - metres * view.scale
    yield (
        f'<path class="plan-scale" d="M{left:.1f} {y - 6:.1f}v6H{right:.1f}v-6" fill="none" '
        'stroke="currentColor"/>'
    )
    yield _text(left - 8, y, f"{metres} m", "end", "plan-scale-name")


def _text(x: float, y: float, words: str, anchor: str, name: str) -> str:
    return (
        f'<text class="{name}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
        f'fill="currentColor">{escape(words)}</text>'
    )


def _middle(corners: Sequence[Point]) -> Point:
    """Centroid of a polygon, or the corners' mean when it has no area."""
    area = signed_area_m2(list(corners))
    if not area or not math.isfinite(area):
        return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)
    cx = cy = 0.0
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        cross = x1 * y2 - x2 * y1
        cx, cy = cx + (x1 + x2) * cross, cy + (y1 + y2) * cross
    return cx / (6 * area), cy / (6 * area)


def _describe(areas: Sequence[Outline], marks: Sequence[Mark]) -> str:
    words = []
    for area in areas:
        size = abs(signed_area_m2(list(area.corners)))
        words.append(f"{area.name}: {len(area.corners)} corners, {size:.0f} m²")
    words += [f"hang point {mark.name} at x {mark.at[0]:g} m, y {mark.at[1]:g} m" for mark in marks]
    return "; ".join(words) + "."
