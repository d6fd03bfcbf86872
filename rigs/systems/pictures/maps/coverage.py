"""Maps: a plan with filled contours and labelled lines, seen from above, the stage side below."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from calc.prediction import AreaResult
from calc.system import AudienceArea, Placement, SystemDescription
from rigs.systems.pictures.maps import contours, ink, marks
from rigs.systems.pictures.maps.free import Free
from rigs.systems.pictures.maps.layers import AreaValues, layers_of, mids
from rigs.systems.pictures.maps.marks import NOTHING, Marks
from rigs.systems.pictures.maps.plan import Plan, near, plan_of
from rigs.systems.pictures.svg import text_width

LABEL_GAP = 4.0
TOLERANCE = 0.4


@dataclass(frozen=True)
class Scale:
    """What the values are. A line every `step`; `digits` behind the point."""

    title: str
    what: str
    unit: str = "dB"
    step: float = 3.0
    digits: int = 0

    def words(self, value: float) -> str:
        """A value without its unit."""
        return f"{value:.{self.digits}f}"

    def said(self, value: float) -> str:
        """A value with its unit."""
        return f"{self.words(value)} {self.unit}".rstrip()


MIDS = Scale("Level", "500 Hz to 4 kHz")


@dataclass(frozen=True)
class Picture:
    """A drawing, its title, and in words what it shows.

    `plan` says where a point of the drawing lies in m; `areas` names what it shows.
    """

    title: str
    text: str
    svg: str
    size: tuple[float, float]
    plan: Plan
    areas: tuple[str, ...] = ()


def coverage_maps(system: SystemDescription, results: Sequence[AreaResult]) -> list[Picture]:
    """The mids at most: one map, or more where areas lie above each other (a balcony)."""
    return value_maps(system.placements, mids(system, results), MIDS)


def value_maps(
    placements: Sequence[Placement],
    shown: Sequence[AreaValues],
    scale: Scale,
    on_it: Marks = NOTHING,
    key: str = "a",
) -> list[Picture]:
    """Maps of any values; areas without a point inside are left out.

    `key` starts the names of the drawings' parts: they must differ within one page.
    """
    layers = layers_of(one for one in shown if one.known)
    return [
        _map(layer, placements, scale, on_it, f"{key}{n}-", len(layers) > 1)
        for n, layer in enumerate(layers)
    ]


def _map(
    layer: list[AreaValues],
    placements: Sequence[Placement],
    scale: Scale,
    on_it: Marks,
    key: str,
    several: bool,
) -> Picture:
    values = [value for one in layer for value in one.known]
    edges = contours.band_edges(min(values), max(values), scale.step)
    boxes = near(layer, placements)
    plan = plan_of(layer, boxes)
    names = ", ".join(one.area.name for one in layer)
    title = f"{scale.title} over {names if several else 'the audience'}"
    words = _words(layer, scale)
    fields = [contours.field_of(one.x_m, one.y_m, one.values) for one in layer]
    if on_it.fallen_over and on_it.fallen_over not in (one.area.name for one in layer):
        on_it = replace(on_it, fallen=None)
    free = Free(*plan.size)
    marks.keep_free(free, plan, boxes, on_it)
    area_names = [_name(plan, one.area, free) for one in layer if len(layer) > 1]
    marked = marks.others(plan, on_it, free)
    parts = [
        *(
            _area(plan, f"{key}{n}", one, field, edges)
            for n, (one, field) in enumerate(zip(layer, fields, strict=True))
        ),
        *marks.boxes(plan, boxes, on_it.moved),
        *area_names,
        *marked,
        *(
            _line_label(plan, field, edge, one.area, scale.words(edge), free)
            for one, field in zip(layer, fields, strict=True)
            for edge in edges[1:]
        ),
        *marks.stage_side(plan),
    ]
    drawn = ink.drawing(plan.size, title, words, parts)
    return Picture(title, words, drawn, plan.size, plan, tuple(one.area.name for one in layer))


def _words(layer: list[AreaValues], scale: Scale) -> str:
    values = [value for one in layer for value in one.known]
    means = "; ".join(
        f"{one.area.name}: mean {scale.said(sum(one.known) / len(one.known))}" for one in layer
    )
    more = "louder" if scale.unit else "better"
    return (
        f"Plan seen from above, {scale.what}, a line every {scale.step:g}"
        f"{' ' + scale.unit if scale.unit else ''}, darker is {more} (on a dark screen, lighter "
        f"is). {scale.words(min(values))} to {scale.said(max(values))}. {means}."
    )


def _area(plan: Plan, key: str, one: AreaValues, field: contours.Field, edges: list[float]) -> str:
    outline = ink.path(map(tuple, plan.spots(one.area.corners)))
    bands = []
    for place, edge in enumerate(edges):
        step = round(place * (ink.STEPS - 1) / max(len(edges) - 1, 1))
        drawn = outline if place == 0 else _reached(plan, field, edge)
        if drawn:
            bands.append(_band(drawn, step, outlined=place > 0))
    return (
        f'<clipPath id="{key}"><path d="{outline}"/></clipPath>'
        f'<g clip-path="url(#{key})">{"".join(bands)}</g>'
        f'<path class="line" d="{outline}" fill="none" stroke="{ink.INK}" stroke-width="1.5"/>'
    )


def _band(drawn: str, step: int, outlined: bool) -> str:
    line = f' stroke="{ink.INK}" stroke-width=".7"' if outlined else ""
    kind = f"b{step} line" if outlined else f"b{step}"
    return f'<path class="{kind}" d="{drawn}" fill="{ink.shade(step)}" fill-rule="evenodd"{line}/>'


def _reached(plan: Plan, field: contours.Field, level: float) -> str:
    rings = (ring for polygon in field.at_least(level) for ring in polygon)
    return "".join(
        ink.path(map(tuple, contours.simplified(plan.spots(ring), TOLERANCE))) for ring in rings
    )


def _line_label(
    plan: Plan,
    field: contours.Field,
    level: float,
    area: AudienceArea,
    words: str,
    free: Free,
) -> str:
    """The level on its longest line, where it lies in the area and hits no other words."""
    for line in sorted(field.lines(level), key=len, reverse=True):
        within = line[contours.inside(area.corners, line)]
        for index in _from_the_middle(len(within)):
            x, y = plan.spot(*within[index])
            extent = free.extent_of((x, y + 5, "middle"), words)
            if free.holds(extent, LABEL_GAP):
                free.taken.append(extent)
                return ink.label(x, y + 5, words)
    return ""


def _from_the_middle(count: int) -> list[int]:
    return sorted(range(count), key=lambda index: abs(index - count // 2))


def _name(plan: Plan, area: AudienceArea, free: Free) -> str:
    """The area's name in one of its corners, the far left one first."""
    spots = plan.spots(area.corners)
    (left, top), (right, bottom) = spots.min(axis=0).tolist(), spots.max(axis=0).tolist()
    far = min(spots.tolist(), key=lambda spot: (round(spot[1]), spot[0]))
    return free.label(
        area.name,
        [
            (far[0] + 4, top + 16, "start"),
            (right - 4, top + 16, "end"),
            (left + 4, bottom - 6, "start"),
            (right - 4, bottom - 6, "end"),
            ((left + right) / 2, (top + bottom) / 2 + 5, "middle"),
            (max(plan.size[0] - text_width(area.name), 0.0), top + 16, "start"),
        ],
    )
