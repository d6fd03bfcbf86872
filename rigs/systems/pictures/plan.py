"""The rig seen from above: areas, boxes with their aim, stage side, scale.

The stage is at the lower edge: y of the space runs up the paper, x to the right.
"""

import math
from dataclasses import dataclass

from calc.system import (
    AudienceArea,
    ListeningSpot,
    Placement,
    StageMicrophone,
    SystemDescription,
)
from rigs.systems.pictures.labels import Labels, grouped
from rigs.systems.pictures.svg import TEXT_SIZE, Drawing

MARGIN = 26.0
TALLEST_SHARE = {True: 1.25, False: 0.85}  # of the width, narrow and wide
SCALE_STEPS_M = (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
FOOT = 70.0  # below the lowest point: room for names, then stage side and scale
STAGE_ABOVE_FOOT = 38.0


@dataclass(frozen=True, slots=True)
class View:
    """From metres to the drawing's units."""

    left_m: float
    bottom_m: float
    scale: float
    height: float

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        """A point of the space on the paper."""
        return (
            MARGIN + (x_m - self.left_m) * self.scale,
            self.height - FOOT - (y_m - self.bottom_m) * self.scale,
        )


def plan_picture(system: SystemDescription, *, width: float = 720) -> str:
    """Draw the plan of a rig as SVG text, `width` units wide."""
    view = _view(system, width)
    drawing = Drawing(width, f"Plan of the rig of {system.event}", "plan")
    labels = Labels(width, view.height - STAGE_ABOVE_FOOT - 4)
    for area in system.areas:
        drawing.polygon(
            [view.at(x, y) for x, y in area.corners], "area", "currentColor", 0.06, area.name
        )
    for box in system.placements:
        _draw_box(drawing, view, box, labels)
    for spot in system.spots:
        _draw_spot(drawing, view, spot, labels)
    for microphone in system.microphones:
        _draw_microphone(drawing, view, microphone, labels)
    for group in grouped(system.placements, lambda box: view.at(box.x_m, box.y_m)):
        labels.place(drawing, group.text, group.extent)
    for microphone in system.microphones:
        x, y = view.at(microphone.x_m, microphone.y_m)
        labels.place(drawing, microphone.name, (x - 6, y - 6, x + 6, y + 6))
    for area in system.areas:
        _name_area(drawing, view, area, labels)
    _stage_side(drawing, view, width)
    _scale_bar(drawing, view, width)
    return drawing.svg(view.height, _told(system))


def _view(system: SystemDescription, width: float) -> View:
    xs = [x for area in system.areas for x, _ in area.corners]
    ys = [y for area in system.areas for _, y in area.corners]
    xs += [box.x_m for box in system.placements] or [-2.0, 2.0]
    ys += [box.y_m for box in system.placements] or [0.0, 4.0]
    xs += [spot.x_m for spot in system.spots]
    ys += [spot.y_m for spot in system.spots]
    xs += [microphone.x_m for microphone in system.microphones]
    ys += [microphone.y_m for microphone in system.microphones]
    ys.append(0.0)
    spread_x = max(max(xs) - min(xs), 4.0)
    spread_y = max(max(ys) - min(ys), 4.0)
    room = width - 2 * MARGIN
    scale = min(room / spread_x, (width * TALLEST_SHARE[width < 500] - FOOT - MARGIN) / spread_y)
    left = (max(xs) + min(xs)) / 2 - room / scale / 2
    return View(left, min(ys), scale, spread_y * scale + FOOT + MARGIN)


def _draw_box(drawing: Drawing, view: View, box: Placement, labels: Labels) -> None:
    """A wedge that points where the box aims, with an aim line before it."""
    x, y = view.at(box.x_m, box.y_m)
    turn = math.radians(box.azimuth_deg)

    def ahead(forward: float, right: float) -> tuple[float, float]:
        return (
            x + forward * math.sin(turn) + right * math.cos(turn),
            y - forward * math.cos(turn) + right * math.sin(turn),
        )

    aim = min(max(view.scale * 4, 18), 46)
    drawing.path([ahead(6, 0), ahead(aim, 0)], "aim", 1, stroke_dasharray="3 3")
    drawing.polygon(
        [ahead(6, 4), ahead(6, -4), ahead(-5, -7), ahead(-5, 7)],
        "box",
        "currentColor",
        1,
        f"{box.name}, {box.sheet}",
    )
    labels.keep_free(x - 8, y - 8, x + 8, y + 8)
    for share in (0.5, 1):
        end_x, end_y = ahead(aim * share, 0)
        labels.keep_free(end_x - 3, end_y - 3, end_x + 3, end_y + aim * share / 2)


def _draw_spot(drawing: Drawing, view: View, spot: ListeningSpot, labels: Labels) -> None:
    """A ring with a point in it, and its name."""
    x, y = view.at(spot.x_m, spot.y_m)
    drawing.ring(x, y, 6, "spot")
    drawing.dot(x, y, 2, "spot-middle")
    labels.keep_free(x - 7, y - 7, x + 7, y + 7)
    labels.place(drawing, spot.name, (x - 8, y - 8, x + 8, y + 8))


def _draw_microphone(
    drawing: Drawing, view: View, microphone: StageMicrophone, labels: Labels
) -> None:
    """A point with a short line to where its front looks; its name comes after the boxes'."""
    x, y = view.at(microphone.x_m, microphone.y_m)
    turn = math.radians(microphone.azimuth_deg)
    front = (x + 11 * math.sin(turn), y - 11 * math.cos(turn))
    drawing.path([(x, y), front], "microphone-front", 1.5)
    drawing.dot(x, y, 3.5, "microphone")
    labels.keep_free(x - 5, y - 5, x + 5, y + 5)


def _name_area(drawing: Drawing, view: View, area: AudienceArea, labels: Labels) -> None:
    corners = [view.at(x, y) for x, y in area.corners]
    middle = sum(y for _, y in corners) / len(corners)
    centre = sum(x for x, _ in corners) / len(corners)
    labels.place(drawing, area.name, (centre, middle - 16, centre, middle - 16), css="area-name")


def _stage_side(drawing: Drawing, view: View, width: float) -> None:
    y = view.height - STAGE_ABOVE_FOOT
    drawing.path([(MARGIN, y), (width - MARGIN, y)], "stage", 3)
    drawing.text(MARGIN, y + TEXT_SIZE + 5, "stage side", bold=True)


def _scale_bar(drawing: Drawing, view: View, width: float) -> None:
    step = max((s for s in SCALE_STEPS_M if s * view.scale <= width * 0.3), default=0.5)
    right, y = width - MARGIN, view.height - STAGE_ABOVE_FOOT + 15
    left = right - step * view.scale
    drawing.path([(left, y - 5), (left, y), (right, y), (right, y - 5)], "scale", 1.5)
    drawing.text(left - 6, y + 4, f"{step:g} m", anchor="end")


def _told(system: SystemDescription) -> str:
    areas = ", ".join(area.name for area in system.areas) or "no audience area"
    boxes = "; ".join(
        f"{box.name}: {box.sheet} at x {box.x_m:g} m, y {box.y_m:g} m, height {box.z_m:g} m, "
        f"azimuth {box.azimuth_deg:g} degrees, tilt {box.tilt_deg:g} degrees"
        for box in system.placements
    )
    spots = "; ".join(f"{s.name} at x {s.x_m:g} m, y {s.y_m:g} m" for s in system.spots)
    stage = "; ".join(
        f"{m.name} at x {m.x_m:g} m, y {m.y_m:g} m, faces {m.azimuth_deg:g} degrees"
        for m in system.microphones
    )
    told = f"Seen from above, stage side below. Areas: {areas}. Boxes: {boxes or 'none yet'}."
    told += f" Listening spots: {spots}." if spots else ""
    return f"{told} Stage microphones: {stage}." if stage else told
