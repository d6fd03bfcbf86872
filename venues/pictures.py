"""Drawings of spaces: pure SVG, no style attributes, readable by a screen reader.

`plan` looks from above, `section` from the side along the x axis: y to the right, z up.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from itertools import chain

from django.utils.safestring import SafeString, mark_safe

from venues.drawing import (
    MARGIN,
    WIDTH,
    Pair,
    View,
    line,
    place_mark,
    polygon,
    scale_bar,
    text,
    view_of,
)
from venues.polygons import Point, signed_area_m2
from venues.rake import floor_heights_m

Point3 = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Outline:
    """An area: its name, its corners in metres, and how its floor lies."""

    name: str
    corners: Sequence[Point]
    floor_z_m: float = 0.0
    rake_deg: float = 0.0
    rake_azimuth_deg: float = 0.0
    ear_height_m: float = 0.0
    kind: str = "audience"
    edited: bool = False

    def floor_line(self, above_m: float = 0.0) -> list[Pair]:
        """y and height of the corners, seen from the side."""
        heights = floor_heights_m(
            self.corners, self.floor_z_m, self.rake_deg, self.rake_azimuth_deg
        )
        return [(y, z + above_m) for (_, y), z in zip(self.corners, heights, strict=True)]


@dataclass(frozen=True, slots=True)
class Mark:
    """A hang point or a place of ears: its name and where it is, in metres."""

    name: str
    at: Point
    z_m: float = 0.0
    kind: str = "hang point"
    edited: bool = False


def plan(
    title: str, areas: Sequence[Outline], marks: Sequence[Mark], editing: bool = False
) -> SafeString:
    """A plan seen from above, the stage side at the bottom. Lengths in metres."""
    pairs = chain.from_iterable([*(a.corners for a in areas), [m.at for m in marks]])
    view = view_of(pairs, 4.0 if editing else 0.0)
    parts = [
        *_head("Plan of " + title, _describe(areas, marks), "plan", view, editing),
        *_stage_side(view),
        *chain.from_iterable(_area(view, area) for area in areas),
        *chain.from_iterable(_mark(view, mark, mark.at) for mark in marks),
        *scale_bar(view),
        *(['<g class="handles"></g>'] if editing else []),
        "</svg>",
    ]
    return mark_safe("".join(parts))


def section(
    title: str, areas: Sequence[Outline], marks: Sequence[Mark], editing: bool = False
) -> SafeString:
    """The same from the side: the stage at the left, heights upwards. Lengths in metres."""
    sides = [(mark, (mark.at[1], mark.z_m)) for mark in marks]
    ears = chain.from_iterable(area.floor_line(area.ear_height_m) for area in areas)
    floors = chain.from_iterable(area.floor_line() for area in areas)
    pairs = chain(ears, floors, (at for _, at in sides))
    view = view_of(pairs, 2.0 if editing else 0.0, least_m=3.0)
    parts = [
        *_head("Section of " + title, _describe_side(areas, marks), "section", view, editing),
        *_ground(view),
        *chain.from_iterable(_side(view, area) for area in areas),
        *chain.from_iterable(_mark(view, mark, at) for mark, at in sides),
        *scale_bar(view),
        *(['<g class="handles"></g>'] if editing else []),
        "</svg>",
    ]
    return mark_safe("".join(parts))


def _head(title: str, words: str, name: str, view: View, editing: bool) -> Iterator[str]:
    """While it is edited a drawing is a group with handles in it, else a picture."""
    role = "group" if editing else "img"
    yield (
        f'<svg class="plan plan-{name}" role="{role}" aria-label="{escape(title)}" '
        f'viewBox="0 0 {WIDTH:.0f} {view.height:.0f}" xmlns="http://www.w3.org/2000/svg" '
        f'font-size="14" data-drawing="{name}" {view.attributes()}>'
    )
    yield f"<title>{escape(title)}</title><desc>{escape(words)}</desc>"


def _area(view: View, area: Outline) -> Iterator[str]:
    css = _css("plan-area", area.kind, area.edited)
    yield polygon(view.points(area.corners), css, 2, "10 5" if area.kind == "stage" else "")
    if not area.corners:
        return
    x, y = _middle(area.corners)
    yield text(view.x(x), view.y(y), area.name, "middle", "plan-name")
    if not area.edited:
        for number, corner in enumerate(area.corners, start=1):
            yield from _corner(view, number, corner, (x, y))


def _corner(view: View, number: int, corner: Point, middle: Point) -> Iterator[str]:
    x, y = view.x(corner[0]), view.y(corner[1])
    yield f'<circle class="plan-corner" cx="{x:.1f}" cy="{y:.1f}" r="3" fill="currentColor"/>'
    right, low = corner[0] <= middle[0], corner[1] <= middle[1]
    yield text(
        x + (8 if right else -8),
        y + (-6 if low else 16),
        str(number),
        "start" if right else "end",
        "plan-number",
    )


def _side(view: View, area: Outline) -> Iterator[str]:
    if not area.corners:
        yield polygon("", _css("plan-area", area.kind, area.edited))
        return
    floor = area.floor_line()
    css = _css("plan-area", area.kind, area.edited)
    yield polygon(view.points(floor), css, 3, "10 5" if area.kind == "stage" else "")
    ears = view.points(area.floor_line(area.ear_height_m))
    yield polygon(ears, _css("plan-ears", area.kind, area.edited), 1, "3 4")
    front = min(floor)
    yield text(
        view.x(front[0]) + 4, view.y(front[1] + area.ear_height_m) - 8, area.name, "start",
        "plan-name",
    )  # fmt: skip


def _mark(view: View, mark: Mark, at: Pair) -> Iterator[str]:
    x, y = view.x(at[0]), view.y(at[1])
    if mark.edited:
        return  # its handle is drawn by the script, its figures stand in the form
    if mark.kind != "hang point":
        yield from place_mark(x, y, mark.name)
        return
    yield (
        f'<path class="plan-hang" d="M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12" '
        'fill="none" stroke="currentColor" stroke-width="2"/>'
    )
    yield text(x + 10, y + 5, mark.name, "start", "plan-hang-name")


def _css(base: str, kind: str, edited: bool) -> str:
    return base + (" plan-of-stage" if kind == "stage" else "") + (" edited" if edited else "")


def _stage_side(view: View) -> Iterator[str]:
    y = view.y(0.0)
    across = f"{MARGIN / 2:.0f},{y:.1f} {WIDTH - MARGIN / 2:.0f},{y:.1f}"
    yield line(across, "plan-stage", dashes="6 6")
    yield text(view.x(0.0), y + 20, "stage side (y = 0)", "middle", "plan-stage-name")


def _ground(view: View) -> Iterator[str]:
    y, x = view.y(0.0), view.x(0.0)
    across = f"{MARGIN / 2:.0f},{y:.1f} {WIDTH - MARGIN / 2:.0f},{y:.1f}"
    yield line(across, "plan-stage", dashes="6 6")
    yield text(WIDTH - MARGIN / 2, y + 18, "height 0", "end", "plan-stage-name")
    yield line(f"{x:.1f},{y - 6:.1f} {x:.1f},{y + 6:.1f}", "plan-stage", 2)
    yield text(x, y + 20, "stage side (y = 0)", "middle", "plan-stage-name")


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


def _describe(areas: Iterable[Outline], marks: Iterable[Mark]) -> str:
    words = []
    for area in areas:
        size = abs(signed_area_m2(list(area.corners)))
        kind = ", a stage" if area.kind == "stage" else ""
        words.append(f"{area.name}{kind}: {len(area.corners)} corners, {size:.0f} m²")
    words += [f"{m.kind} {m.name} at x {m.at[0]:g} m, y {m.at[1]:g} m" for m in marks]
    return "; ".join(words) + "."


def _describe_side(areas: Iterable[Outline], marks: Iterable[Mark]) -> str:
    words = []
    for area in areas:
        heights = [z for _, z in area.floor_line()] or [area.floor_z_m]
        words.append(
            f"{area.name}: floor from {min(heights):.3g} to {max(heights):.3g} m, "
            f"ears {area.ear_height_m:g} m above it"
        )
    words += [f"{m.kind} {m.name} at y {m.at[1]:g} m, height {m.z_m:g} m" for m in marks]
    return "; ".join(words) + "."
