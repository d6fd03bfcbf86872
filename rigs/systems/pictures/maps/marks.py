"""What stands on a map: boxes with their aim, places of crew, a seat, the edge of the throw."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.system import ListeningPlace, Placement
from rigs.systems.pictures.maps import ink
from rigs.systems.pictures.maps.free import Free
from rigs.systems.pictures.maps.plan import FOOT, SIDE, Plan
from rigs.systems.pictures.svg import fitted

AIM = 26.0


@dataclass(frozen=True)
class Marks:
    """What somebody looks at. `moved` names a box that is tried elsewhere than it stands."""

    places: Sequence[ListeningPlace] = ()
    seat: tuple[float, float] | None = None
    moved: str = ""
    fallen: tuple[float, float] | None = None
    """Where the main system has fallen by 6 dB, in m."""
    fallen_over: str = ""
    """The area at whose ears that holds; a map above it (a balcony) does not show it."""


NOTHING = Marks()


def boxes(plan: Plan, placements: Sequence[Placement], moved: str = "") -> list[str]:
    """Each box once for all that stand in a stack and look the same way."""
    seen = {
        (round(b.x_m, 1), round(b.y_m, 1), round(b.azimuth_deg), b.name == moved)
        for b in placements
    }
    return [_box(plan, *one) for one in sorted(seen)]


def _box(plan: Plan, x_m: float, y_m: float, azimuth_deg: float, moved: bool) -> str:
    x, y = plan.spot(x_m, y_m)
    turn = math.radians(azimuth_deg)
    tip = (x + AIM * math.sin(turn), y - AIM * math.cos(turn))
    ring = (
        f'<circle class="line" cx="{ink.at(x)}" cy="{ink.at(y)}" r="11" fill="none" '
        f'stroke="{ink.INK}" stroke-width="2"/>'
    )
    return (
        f'<path class="line" d="{ink.path([(x, y), tip], closed=False)}" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.2" stroke-dasharray="4 3"/>'
        f'<rect class="ink" x="-5" y="-4" width="10" height="8" fill="{ink.INK}" '
        f'transform="translate({ink.at(x)} {ink.at(y)}) rotate({ink.at(azimuth_deg)})"/>'
        f"{ring if moved else ''}"
    )


def keep_free(free: Free, plan: Plan, placements: Sequence[Placement], marks: Marks) -> None:
    """Take the room of boxes, places and the seat, so that no words lie on them."""
    for box in placements:
        free.keep(*plan.spot(box.x_m, box.y_m), 6)
    for place in marks.places:
        free.keep(*plan.spot(place.x_m, place.y_m), 6)
    if marks.seat:
        free.keep(*plan.spot(*marks.seat), 10)


def others(plan: Plan, marks: Marks, free: Free) -> list[str]:
    """Places, the seat and the edge of the throw, where they lie on the drawing."""
    parts = []
    if marks.seat and plan.holds(*marks.seat):
        parts.append(_seat(plan, marks.seat, free))
    parts += [_place(plan, p, free) for p in marks.places if plan.holds(p.x_m, p.y_m)]
    if marks.fallen and plan.holds(*marks.fallen):
        parts.append(_fallen(plan, marks.fallen, free))
    return parts


def _place(plan: Plan, place: ListeningPlace, free: Free) -> str:
    x, y = plan.spot(place.x_m, place.y_m)
    width = plan.size[0]
    name = "".join(fitted(place.name, max(x, width - x) - 12))
    spots = free.beside(x, y)
    if x > width / 2:  # the longer side first, for a name that fits nowhere
        spots[0], spots[1] = spots[1], spots[0]
    return (
        f'<circle class="line halo-fill" cx="{ink.at(x)}" cy="{ink.at(y)}" r="5" '
        f'fill="{ink.PAPER}" stroke="{ink.INK}" stroke-width="2"/>'
        f"{free.label(name, spots)}"
    )


def _seat(plan: Plan, seat: tuple[float, float], free: Free) -> str:
    x, y = plan.spot(*seat)
    cross = f"M{ink.at(x - 9)} {ink.at(y)}h18M{ink.at(x)} {ink.at(y - 9)}v18"
    spots = free.beside(x, y, 11)
    return (
        f'<path class="line" d="{cross}" fill="none" stroke="{ink.INK}" stroke-width="3"/>'
        f"{free.label('seat', [spots[2], *spots])}"
    )


def _fallen(plan: Plan, at_m: tuple[float, float], free: Free) -> str:
    y = plan.spot(*at_m)[1]
    width = plan.size[0]
    ends = ((SIDE + 4, "start"), (width - SIDE - 4, "end"), (width / 2, "middle"))
    return (
        f'<path class="line" d="M{SIDE:g} {ink.at(y)}H{ink.at(width - SIDE)}" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.5" stroke-dasharray="2 4"/>'
        + free.label(
            "6 dB fallen", [(x, up, to) for up in (y - 5, y + 15, y + 32) for x, to in ends]
        )
    )


def stage_side(plan: Plan) -> list[str]:
    """The stage's side and a scale bar."""
    width, height = plan.size
    return [
        f'<path class="line" d="M{SIDE:g} {ink.at(height - FOOT + 14)}H{width - SIDE:g}" '
        f'stroke="{ink.INK}" stroke-width="2" stroke-dasharray="10 4"/>',
        *scale_bar(plan.size, plan.scale, "stage side"),
    ]


def scale_bar(size: tuple[float, float], scale: float, words: str) -> list[str]:
    """A bar of some metres at the foot, and at its right a few words on what lies where."""
    width, height = size
    bar_m = _round_length(90 / scale)
    bar, y = bar_m * scale, height - 10
    return [
        ink.label(width - SIDE, y, words, anchor="end"),
        f'<path class="line" d="M{SIDE:g} {ink.at(y - 6)}v6h{ink.at(bar)}v-6" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.5"/>',
        ink.label(SIDE + bar + 6, y, f"{bar_m:g} m", anchor="start"),
    ]


def _round_length(most_m: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... m that fits."""
    ten = 10 ** math.floor(math.log10(most_m))
    return float(max(part * ten for part in (1, 2, 5) if part * ten <= most_m))
