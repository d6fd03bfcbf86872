"""What stands on a map: boxes with their aim, places of crew, a seat, the edge of the throw."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.system import ListeningPlace, Placement
from rigs.systems.pictures.maps import ink
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


def spots(plan: Plan, marks: Marks) -> list[tuple[float, float]]:
    """Where labels of lines should keep away from."""
    found = [plan.spot(place.x_m, place.y_m) for place in marks.places]
    return found + ([plan.spot(*marks.seat)] if marks.seat else [])


def others(plan: Plan, marks: Marks) -> list[str]:
    """Places, the seat and the edge of the throw, where they lie on the drawing."""
    parts = []
    if marks.fallen and plan.holds(*marks.fallen):
        parts.append(_fallen(plan, marks.fallen))
    parts += [_place(plan, p) for p in marks.places if plan.holds(p.x_m, p.y_m)]
    if marks.seat and plan.holds(*marks.seat):
        parts.append(_seat(plan, marks.seat))
    return parts


def _place(plan: Plan, place: ListeningPlace) -> str:
    x, y = plan.spot(place.x_m, place.y_m)
    width = plan.size[0]
    anchor = "end" if x > width / 2 else "start"
    aside = -9 if anchor == "end" else 9
    name = "".join(fitted(place.name, (x if anchor == "end" else width - x) - 12))
    return (
        f'<circle class="line halo-fill" cx="{ink.at(x)}" cy="{ink.at(y)}" r="5" '
        f'fill="{ink.PAPER}" stroke="{ink.INK}" stroke-width="2"/>'
        f"{ink.label(x + aside, y + 5, name, anchor=anchor)}"
    )


def _seat(plan: Plan, seat: tuple[float, float]) -> str:
    x, y = plan.spot(*seat)
    cross = f"M{ink.at(x - 9)} {ink.at(y)}h18M{ink.at(x)} {ink.at(y - 9)}v18"
    return (
        f'<path class="line" d="{cross}" fill="none" stroke="{ink.INK}" stroke-width="3"/>'
        f"{ink.label(x, y - 13, 'seat')}"
    )


def _fallen(plan: Plan, at_m: tuple[float, float]) -> str:
    y = plan.spot(*at_m)[1]
    width = plan.size[0]
    return (
        f'<path class="line" d="M{SIDE:g} {ink.at(y)}H{ink.at(width - SIDE)}" fill="none" '
        f'stroke="{ink.INK}" stroke-width="1.5" stroke-dasharray="2 4"/>'
        f"{ink.label(SIDE + 4, y - 5, '6 dB fallen', anchor='start')}"
    )


def stage_side(plan: Plan) -> list[str]:
    """The stage's side and a scale bar."""
    width, height = plan.size
    bar_m = _round_length(90 / plan.scale)
    bar, y = bar_m * plan.scale, height - 10
    return [
        f'<path class="line" d="M{SIDE:g} {ink.at(height - FOOT + 14)}H{width - SIDE:g}" '
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
