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
    named,
    place_mark,
    polygon,
    scale_bar,
    text,
    view_of,
)
from venues.free import FreeSpace, Spot
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
    free = view.free_space()
    sides = [(mark, mark.at) for mark in marks]
    _keep_marks_free(view, free, sides)
    parts = [
        *_head("Plan of " + title, _describe(areas, marks), "plan", view, editing),
        *_stage_line(view),
        *chain.from_iterable(_area(view, area) for area in areas),
        *chain.from_iterable(_area_name(view, free, area) for area in areas),
        *chain.from_iterable(_mark(view, free, mark, at) for mark, at in sides),
        *_stage_name(view, free),
        *chain.from_iterable(_corners(view, free, area) for area in areas),
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
    free = view.free_space()
    _keep_marks_free(view, free, sides)
    parts = [
        *_head("Section of " + title, _describe_side(areas, marks), "section", view, editing),
        *_ground_line(view),
        *chain.from_iterable(_side(view, area) for area in areas),
        *chain.from_iterable(_side_name(view, free, area) for area in areas),
        *chain.from_iterable(_mark(view, free, mark, at) for mark, at in sides),
        *_ground_names(view, free),
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


def _keep_marks_free(view: View, free: FreeSpace, marks: Sequence[tuple[Mark, Pair]]) -> None:
    for _, at in marks:
        free.keep(view.x(at[0]), view.y(at[1]), 8)


def _area(view: View, area: Outline) -> Iterator[str]:
    css = _css("plan-area", area.kind, area.edited)
    yield polygon(view.points(area.corners), css, 2, "10 5" if area.kind == "stage" else "")
    if not area.edited:
        for x, y in area.corners:
            yield (
                f'<circle class="plan-corner" cx="{view.x(x):.1f}" cy="{view.y(y):.1f}" r="3" '
                'fill="currentColor"/>'
            )


def _area_name(view: View, free: FreeSpace, area: Outline) -> Iterator[str]:
    """In the area's middle, else before or behind it."""
    if area.corners:
        x, y = (view.x(_middle(area.corners)[0]), view.y(_middle(area.corners)[1]))
        heights = [view.y(corner[1]) for corner in area.corners]
        beyond = range(24, int(max(heights) - min(heights)) // 2, 24)
        spots = [(x, y + turn * step, "middle") for step in beyond for turn in (1, -1)]
        yield from named(free, area.name, [(x, y, "middle"), *spots], "plan-name")


def _corners(view: View, free: FreeSpace, area: Outline) -> Iterator[str]:
    """The corners' numbers inside of the area, where there is room."""
    if area.edited or not area.corners:
        return
    middle = _middle(area.corners)
    for number, (x, y) in enumerate(area.corners, start=1):
        right, low = x <= middle[0], y <= middle[1]
        across, up = view.x(x) + (8 if right else -8), view.y(y) + (-6 if low else 18)
        spot = free.choose(str(number), [(across, up, "start" if right else "end")], needed=False)
        if spot:
            yield text(*spot[:2], str(number), spot[2], "plan-number")


def _side(view: View, area: Outline) -> Iterator[str]:
    if not area.corners:
        yield polygon("", _css("plan-area", area.kind, area.edited))
        return
    css = _css("plan-area", area.kind, area.edited)
    dashes = "10 5" if area.kind == "stage" else ""
    yield polygon(view.points(area.floor_line()), css, 3, dashes)
    ears = view.points(area.floor_line(area.ear_height_m))
    yield polygon(ears, _css("plan-ears", area.kind, area.edited), 1, "3 4")


def _side_name(view: View, free: FreeSpace, area: Outline) -> Iterator[str]:
    """Above the ears at the front, the middle or the back, else under the floor."""
    if not area.corners:
        return
    ears = sorted(area.floor_line(area.ear_height_m))
    floor = sorted(area.floor_line())
    ends = ((ears[0], "start"), (ears[-1], "end"))
    spots: list[Spot] = [
        (view.x(at[0]), view.y(at[1]) - 8 - more, anchor) for more in (0, 24) for at, anchor in ends
    ]
    spots += [(view.x(at[0]), view.y(at[1]) + 24, "middle") for at in (floor[0], floor[-1])]
    yield from named(free, area.name, spots, "plan-name")


def _mark(view: View, free: FreeSpace, mark: Mark, at: Pair) -> Iterator[str]:
    x, y = view.x(at[0]), view.y(at[1])
    if mark.edited:
        return  # its handle is drawn by the script, its figures stand in the form
    if mark.kind != "hang point":
        yield from place_mark(free, x, y, mark.name)
        return
    yield (
        f'<path class="plan-hang" d="M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12" '
        'fill="none" stroke="currentColor" stroke-width="2"/>'
    )
    yield from named(free, mark.name, free.beside(x, y, 11), "plan-hang-name")


def _css(base: str, kind: str, edited: bool) -> str:
    return base + (" plan-of-stage" if kind == "stage" else "") + (" edited" if edited else "")


def _stage_line(view: View) -> Iterator[str]:
    y = view.y(0.0)
    across = f"{MARGIN / 2:.0f},{y:.1f} {WIDTH - MARGIN / 2:.0f},{y:.1f}"
    yield line(across, "plan-stage", dashes="6 6")


def _stage_name(view: View, free: FreeSpace) -> Iterator[str]:
    y, ends = view.y(0.0), ((WIDTH - MARGIN / 2, "end"), (MARGIN / 2, "start"))
    spots: list[Spot] = [(x, y + down, to) for down in (20, -8) for x, to in ends]
    yield from named(free, "stage side (y = 0)", spots, "plan-stage-name")


def _ground_line(view: View) -> Iterator[str]:
    y, x = view.y(0.0), view.x(0.0)
    across = f"{MARGIN / 2:.0f},{y:.1f} {WIDTH - MARGIN / 2:.0f},{y:.1f}"
    yield line(across, "plan-stage", dashes="6 6")
    yield line(f"{x:.1f},{y - 6:.1f} {x:.1f},{y + 6:.1f}", "plan-stage", 2)


def _ground_names(view: View, free: FreeSpace) -> Iterator[str]:
    y, x = view.y(0.0), view.x(0.0)
    spots: list[Spot] = [(x, y + 22, side) for side in ("middle", "start", "end")]
    yield from named(free, "stage side (y = 0)", spots, "plan-stage-name")
    ends: list[Spot] = [(WIDTH - MARGIN / 2, y + down, "end") for down in (22, -8)]
    yield from named(free, "height 0", ends, "plan-stage-name")


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
