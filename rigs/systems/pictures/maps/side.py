"""A rig from the side: floors with their rake, ears, boxes and where they look.

Cut along the line straight ahead from the stage, or along the middle of what is raised where that
lies beside the line. The stage is at the left.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from calc.acoustics.section import BoxInSection, FloorCut, Section, section
from calc.system import AudienceArea, SystemDescription
from rigs.systems.pictures.maps import ink
from rigs.systems.pictures.maps.free import Free
from rigs.systems.pictures.maps.marks import scale_bar
from rigs.systems.pictures.maps.plan import FOOT, HEAD, HIGHEST, NEAR_M, SIDE, WIDTH
from rigs.systems.pictures.svg import fitted
from venues.free import Spot

LEVEL_M = 0.05
"""Floors that differ by less lie on one level."""

SHORTEST_AIM_M, LONGEST_AIM_M = 3.0, 60.0


@dataclass(frozen=True, slots=True)
class Side:
    """The drawing, its title, and in words what it shows."""

    title: str
    text: str
    svg: str
    size: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _View:
    """From metres along the cut and up to the drawing's units."""

    left_m: float
    bottom_m: float
    scale: float
    size: tuple[float, float]

    def spot(self, along_m: float, z_m: float) -> tuple[float, float]:
        return (
            SIDE + (along_m - self.left_m) * self.scale,
            self.size[1] - FOOT - (z_m - self.bottom_m) * self.scale,
        )


def side_picture(system: SystemDescription, moved: str = "") -> Side | None:
    """The section; None where all of the audience is on one level, and a plan says it all.

    `moved` names a box that is tried elsewhere than it stands.
    """
    x_m = _cut_at(system.areas)
    if x_m is None:
        return None
    cut = section(system, x_m=x_m)
    boxes = _near(cut)
    view = _view(cut.floors, boxes)
    free = Free(view.size[0], view.size[1] - 26)
    title = "Section straight ahead from the stage" + (f", at x {x_m:g} m" if x_m else "")
    words = _words(cut.floors, boxes)
    for box in boxes:
        free.keep(*view.spot(box.along_m, box.z_m), 6)
    parts = [
        *(shape for floor in cut.floors for shape in _floor(view, floor)),
        *_boxes(view, cut.floors, boxes, moved),
        *(_name(view, floor, free) for floor in cut.floors),
        *_heights(view, boxes, free),
        *scale_bar(view.size, view.scale, "stage at the left"),
    ]
    return Side(title, words, ink.drawing(view.size, title, words, parts), view.size)


def _cut_at(areas: Sequence[AudienceArea]) -> float | None:
    """x of the cut, in m; None where no audience is raked or raised."""
    listeners = [area for area in areas if area.kind == "audience"]
    lowest = min((area.floor_z_m for area in listeners), default=0.0)
    lifted = [a for a in listeners if a.rake_deg or a.floor_z_m - lowest > LEVEL_M]
    if not lifted:
        return None
    spans = [(min(x for x, _ in a.corners), max(x for x, _ in a.corners)) for a in lifted]
    if any(left <= 0 <= right for left, right in spans):
        return 0.0
    return round(sum(spans[0]) / 2, 1)


def _near(cut: Section) -> list[BoxInSection]:
    """Boxes that are not so far off that the drawing would shrink to nothing."""
    low = min((floor.from_m for floor in cut.floors), default=0.0) - NEAR_M
    high = max((floor.to_m for floor in cut.floors), default=0.0) + NEAR_M
    return [box for box in cut.boxes if low <= box.along_m <= high]


def _view(floors: Iterable[FloorCut], boxes: Iterable[BoxInSection]) -> _View:
    points = [(0.0, 0.0), *((box.along_m, box.z_m) for box in boxes)]
    for floor in floors:
        ears = floor.ear_height_m
        points += [(floor.from_m, floor.from_z_m), (floor.to_m, floor.to_z_m)]
        points += [(floor.from_m, floor.from_z_m + ears), (floor.to_m, floor.to_z_m + ears)]
    along, up = [a for a, _ in points], [z for _, z in points]
    left, bottom = min(along), min(up)
    wide, high = max(max(along) - left, 1.0), max(max(up) - bottom, 1.0)
    room = HEAD + 20  # names above the highest point
    scale = min((WIDTH - 2 * SIDE) / wide, (HIGHEST - room - FOOT) / high)
    spare = (WIDTH - 2 * SIDE) / scale - wide
    return _View(left - spare / 2, bottom, scale, (WIDTH, room + FOOT + scale * high))


def _floor(view: _View, floor: FloorCut) -> Iterator[str]:
    ears = floor.ear_height_m
    for above, look in (
        (0.0, 'stroke-width="3"'),
        (ears, 'stroke-width="1" stroke-dasharray="1 3"'),
    ):
        ends = [
            view.spot(floor.from_m, floor.from_z_m + above),
            view.spot(floor.to_m, floor.to_z_m + above),
        ]  # fmt: skip
        yield (
            f'<path class="line" d="{ink.path(ends, closed=False)}" fill="none" '
            f'stroke="{ink.INK}" {look}/>'
        )


def _name(view: _View, floor: FloorCut, free: Free) -> str:
    """Under the floor's middle, else elsewhere along it."""
    spots: list[Spot] = []
    for share in (0.5, 0.25, 0.75):
        along = floor.from_m + share * (floor.to_m - floor.from_m)
        z = floor.from_z_m + share * (floor.to_z_m - floor.from_z_m)
        x, y = view.spot(along, z)
        rise = abs(
            view.spot(floor.to_m, floor.to_z_m)[1] - view.spot(floor.from_m, floor.from_z_m)[1]
        )
        spots += [(x, y + 18, "middle"), (x, y + 18 + rise / 4, "start"), (x, y + 34, "middle")]
    return free.label("".join(fitted(floor.area, view.size[0] / 2)), spots)


def _boxes(
    view: _View, floors: Sequence[FloorCut], boxes: Iterable[BoxInSection], moved: str
) -> Iterator[str]:
    """Each box once for all that stand alike, left and right."""
    seen = {
        (round(b.along_m, 1), round(b.z_m, 1), round(b.aim_deg), b.placement == moved)
        for b in boxes
    }
    for along, z, aim, tried in sorted(seen):
        yield _box(view, (along, z), aim, _aim_length(floors, along, z, aim), tried)


def _box(
    view: _View, at_m: tuple[float, float], aim_deg: float, length_m: float, moved: bool
) -> str:
    x, y = view.spot(*at_m)
    turn = math.radians(aim_deg)
    reach = length_m * view.scale
    tip = (x + reach * math.cos(turn), y - reach * math.sin(turn))
    ring = (
        f'<circle class="line" cx="{ink.at(x)}" cy="{ink.at(y)}" r="11" fill="none" '
        f'stroke="{ink.INK}" stroke-width="2"/>'
    )
    return (
        f'<path class="line" d="{ink.path([(x, y), tip], closed=False)}" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1" stroke-dasharray="4 3"/>'
        f'<rect class="ink" x="-4" y="-5" width="8" height="10" fill="{ink.INK}" '
        f'transform="translate({ink.at(x)} {ink.at(y)}) rotate({ink.at(-aim_deg)})"/>'
        f"{ring if moved else ''}"
    )


def _aim_length(floors: Iterable[FloorCut], along_m: float, z_m: float, aim_deg: float) -> float:
    """Up to the first ears in the aim's way, in m; a short line where there are none."""
    turn = math.radians(aim_deg)
    ahead, up = math.cos(turn), math.sin(turn)
    found = []
    for floor in floors:
        run = floor.to_m - floor.from_m
        rise = floor.to_z_m - floor.from_z_m
        front = floor.from_z_m + floor.ear_height_m
        turned = ahead * rise - up * run
        if abs(turned) < 1e-9:
            continue
        reach = ((z_m - front) * run - (along_m - floor.from_m) * rise) / turned
        share = (along_m + reach * ahead - floor.from_m) / run
        if 0 <= share <= 1 and 0 < reach <= LONGEST_AIM_M:
            found.append(reach)
    return max(min(found, default=SHORTEST_AIM_M), 1.0)


def _heights(view: _View, boxes: Sequence[BoxInSection], free: Free) -> Iterator[str]:
    """How high boxes hang or stand, once for all at one spot; where there is room."""
    for along, z in sorted({(round(b.along_m), round(b.z_m, 1)) for b in boxes}, key=_from_above):
        exact = next(b for b in boxes if (round(b.along_m), round(b.z_m, 1)) == (along, z))
        x, y = view.spot(exact.along_m, exact.z_m)
        yield free.label(f"{z:g} m", [(x, y - 11, "middle"), *free.beside(x, y)[:4]], needed=False)


def _from_above(spot: tuple[float, float]) -> tuple[float, float]:
    return -spot[1], spot[0]


def _words(floors: Sequence[FloorCut], boxes: Sequence[BoxInSection]) -> str:
    said = "; ".join(
        f"{f.area}: floor {_span(f.from_z_m, f.to_z_m)}, ears {f.ear_height_m:g} m above it"
        for f in floors
    )
    heights = [box.z_m for box in boxes]
    stand = f" Boxes {_span(min(heights), max(heights))}." if heights else ""
    return (
        "Seen from the side: floors drawn through, ears dotted, aims dashed up to the ears that "
        f"they meet. {said}.{stand}"
    )


def _span(one_m: float, other_m: float) -> str:
    low, high = (f"{z + 0.0:.1f}" for z in (one_m, other_m))
    return f"at {low} m" if low == high else f"from {low} to {high} m"
