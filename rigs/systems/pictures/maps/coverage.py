"""Coverage map: a plan with contours every 3 dB, seen from above, the stage side below."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from calc.prediction import AreaResult
from calc.system import AudienceArea, Placement, SystemDescription
from rigs.systems.pictures.maps import contours, ink
from rigs.systems.pictures.maps.contours import Floats

WIDTH, HIGHEST = 360.0, 480.0
SIDE, HEAD, FOOT = 14.0, 14.0, 44.0
NEAR_M = 15.0
LABEL_GAP = 26.0
TOLERANCE = 0.4
NAME_WIDTH = 8.0
"""Units of one character at most."""

Shown = tuple[AudienceArea, AreaResult]


@dataclass(frozen=True)
class Picture:
    """A drawing, its title, and in words what it shows."""

    title: str
    text: str
    svg: str
    size: tuple[float, float]


@dataclass(frozen=True)
class Plan:
    """From metres to the drawing's units: y grows upwards, away from the stage."""

    left_m: float
    bottom_m: float
    scale: float
    size: tuple[float, float]

    def spot(self, x_m: float, y_m: float) -> tuple[float, float]:
        return (
            SIDE + (x_m - self.left_m) * self.scale,
            self.size[1] - FOOT - (y_m - self.bottom_m) * self.scale,
        )

    def spots(self, points: Iterable[Sequence[float]]) -> Floats:
        return np.array([self.spot(x, y) for x, y in points])


def coverage_maps(system: SystemDescription, results: Sequence[AreaResult]) -> list[Picture]:
    """One map, or more where areas lie above each other (a balcony)."""
    areas = {area.name: area for area in system.areas}
    shown = [(areas[result.name], result) for result in results if result.name in areas]
    shown.sort(key=lambda one: -len(_points(one[1])))  # the main floor comes first
    layers = _layers(shown)
    return [_map(layer, system.placements, len(layers) > 1) for layer in layers]


def _layers(shown: Iterable[Shown]) -> list[list[Shown]]:
    """Areas in groups without overlap in plan."""
    layers: list[list[Shown]] = []
    for one in shown:
        for layer in layers:
            if not any(_overlap(one, other) for other in layer):
                layer.append(one)
                break
        else:
            layers.append([one])
    return layers


def _overlap(one: Shown, other: Shown) -> bool:
    return bool(
        contours.inside(one[0].corners, _points(other[1])).any()
        or contours.inside(other[0].corners, _points(one[1])).any()
    )


def _points(result: AreaResult) -> Floats:
    return np.array(
        [
            (x, y)
            for y, row in zip(result.y_m, result.level_mid_db, strict=True)
            for x, level in zip(result.x_m, row, strict=True)
            if level is not None
        ]
    ).reshape(-1, 2)


def _map(layer: list[Shown], placements: Sequence[Placement], several: bool) -> Picture:
    values = [v for _, result in layer for row in result.level_mid_db for v in row if v is not None]
    edges = contours.band_edges(min(values), max(values))
    boxes = _near(layer, placements)
    plan = _plan(layer, boxes)
    names = ", ".join(area.name for area, _ in layer)
    title = f"Level over {names}" if several else "Level over the audience"
    words = _words(layer, min(values), max(values))
    taken: list[tuple[float, float]] = []
    parts = [
        *(_area(plan, n, one, edges, taken) for n, one in enumerate(layer)),
        *(_name(plan, area) for area, _ in layer if len(layer) > 1),
        *_boxes(plan, boxes),
        *_stage_side(plan),
    ]
    return Picture(title, words, ink.drawing(plan.size, title, words, parts), plan.size)


def _words(layer: list[Shown], lowest: float, highest: float) -> str:
    means = "; ".join(f"{area.name}: mean {result.mean_mid_db:.0f} dB" for area, result in layer)
    return (
        f"Plan seen from above, 500 Hz to 4 kHz, a line every {contours.STEP_DB} dB, darker is "
        f"louder (on a dark screen, lighter is). {lowest:.0f} to {highest:.0f} dB. {means}."
    )


def _near(layer: list[Shown], placements: Sequence[Placement]) -> list[Placement]:
    """Boxes that are not so far off that the plan would shrink to nothing."""
    low, high = _bounds(layer)
    return [
        p
        for p in placements
        if low[0] - NEAR_M <= p.x_m <= high[0] + NEAR_M
        and low[1] - NEAR_M <= p.y_m <= high[1] + NEAR_M
    ]


def _bounds(layer: list[Shown]) -> tuple[Floats, Floats]:
    corners = np.array([corner for area, _ in layer for corner in area.corners])
    return corners.min(axis=0), corners.max(axis=0)


def _plan(layer: list[Shown], boxes: Sequence[Placement]) -> Plan:
    low, high = _bounds(layer)
    if boxes:
        spots = np.array([(box.x_m, box.y_m) for box in boxes])
        low, high = np.minimum(low, spots.min(axis=0)), np.maximum(high, spots.max(axis=0))
    span = np.maximum(high - low, 1.0)
    scale = float(min((WIDTH - 2 * SIDE) / span[0], (HIGHEST - HEAD - FOOT) / span[1]))
    height = HEAD + FOOT + scale * float(span[1])
    spare = (WIDTH - 2 * SIDE) / scale - float(span[0])
    return Plan(float(low[0]) - spare / 2, float(low[1]), scale, (WIDTH, height))


def _area(
    plan: Plan, n: int, one: Shown, edges: list[float], taken: list[tuple[float, float]]
) -> str:
    area, result = one
    field = contours.field_of(result.x_m, result.y_m, result.level_mid_db)
    outline = ink.path(map(tuple, plan.spots(area.corners)))
    bands, labels = [], []
    for place, edge in enumerate(edges):
        step = round(place * (ink.STEPS - 1) / max(len(edges) - 1, 1))
        drawn = outline if place == 0 else _reached(plan, field, edge)
        if drawn:
            bands.append(_band(drawn, step, outlined=place > 0))
        if place > 0:
            labels.append(_line_label(plan, field, edge, area, taken))
    return (
        f'<clipPath id="a{n}"><path d="{outline}"/></clipPath>'
        f'<g clip-path="url(#a{n})">{"".join(bands)}</g>'
        f'<path class="line" d="{outline}" fill="none" stroke="{ink.INK}" stroke-width="1.5"/>'
        f"{''.join(labels)}"
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
    taken: list[tuple[float, float]],
) -> str:
    """The level on its longest line, where it lies in the area and hits no other label."""
    for line in sorted(field.lines(level), key=len, reverse=True):
        within = line[contours.inside(area.corners, line)]
        for index in _from_the_middle(len(within)):
            x, y = plan.spot(*within[index])
            if all(math.hypot(x - u, y - v) >= LABEL_GAP for u, v in taken):
                taken.append((x, y))
                return ink.label(x, y + 5, f"{level:.0f}")
    return ""


def _from_the_middle(count: int) -> list[int]:
    return sorted(range(count), key=lambda index: abs(index - count // 2))


def _name(plan: Plan, area: AudienceArea) -> str:
    x, y = min(plan.spots(area.corners).tolist(), key=lambda spot: (round(spot[1]), spot[0]))
    x = min(x + 4, plan.size[0] - NAME_WIDTH * len(area.name))
    return ink.label(max(x, 0), y + 16, area.name, anchor="start")


def _boxes(plan: Plan, boxes: Sequence[Placement]) -> list[str]:
    """Each box once for all that stand in a stack and look the same way."""
    seen = {(round(b.x_m, 1), round(b.y_m, 1), round(b.azimuth_deg)) for b in boxes}
    return [_box(plan, x, y, azimuth) for x, y, azimuth in sorted(seen)]


def _box(plan: Plan, x_m: float, y_m: float, azimuth_deg: float) -> str:
    x, y = plan.spot(x_m, y_m)
    turn = math.radians(azimuth_deg)
    tip = (x + 26 * math.sin(turn), y - 26 * math.cos(turn))
    return (
        f'<path class="line" d="{ink.path([(x, y), tip], closed=False)}" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.2" stroke-dasharray="4 3"/>'
        f'<rect class="ink" x="-5" y="-4" width="10" height="8" fill="{ink.INK}" '
        f'transform="translate({ink.at(x)} {ink.at(y)}) rotate({ink.at(azimuth_deg)})"/>'
    )


def _stage_side(plan: Plan) -> list[str]:
    width, height = plan.size
    bar_m = _round_length(90 / plan.scale)
    bar, y = bar_m * plan.scale, height - 10
    return [
        f'<path class="line" d="M{SIDE:g} {ink.at(height - 30)}H{width - SIDE:g}" '
        f'stroke="{ink.INK}" stroke-width="2" stroke-dasharray="10 4"/>',
        ink.label(width - SIDE, y, "stage side", anchor="end"),
        f'<path class="line" d="M{SIDE:g} {ink.at(y - 6)}v6h{ink.at(bar)}v-6" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.5"/>',
        ink.label(SIDE + bar + 6, y, f"{bar_m:g} m", anchor="start"),
    ]


def _round_length(most_m: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... m that fits."""
    ten = 10 ** math.floor(math.log10(most_m))
    return float(max(part * ten for part in (1, 2, 5) if part * ten <= most_m))
