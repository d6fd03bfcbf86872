"""A sub array drawn: where its boxes stand, and how loud it is all round in one band."""

import math
from collections.abc import Sequence

from calc.signals.arrays.answers import ArrayElement, ArrayPlan, ArrayPolar
from calc.words import number
from rigs.systems.pictures.frequency import said_hz
from rigs.systems.pictures.svg import Drawing, fitted

ROUND = 300.0
RING_DB = 6
RINGS = 4
PLAN_WIDE, PLAN_NARROW = 600.0, 340.0
BOX_M = 0.6
LEAST_HALF = 9.0
"""A smaller box has no room for its number."""


def around_picture(plan: ArrayPlan, polar: ArrayPolar) -> str:
    """How loud it is all round in one band: rings of 6 dB, the aim upwards."""
    title = f"{plan.kind.capitalize()} at {said_hz(polar.band_hz)}: level all round"
    drawing = Drawing(ROUND, title, "around")
    middle, most = (ROUND / 2, ROUND / 2 + 8), ROUND / 2 - 26
    for ring in range(1, RINGS + 1):
        drawing.ring(*middle, most * ring / RINGS, "rule", 1)
    points = [
        _around(middle, most * _share(level), angle)
        for angle, level in zip(plan.angles_deg, polar.level_db, strict=True)
    ]
    drawing.polygon(points, "loud", "currentColor", 0.14)
    drawing.path([*points, points[0]], "curve", 2)
    for ring in range(1, RINGS):
        words = f"{(ring - RINGS) * RING_DB}"
        drawing.text(middle[0] + 4, middle[1] + most * ring / RINGS - 4, words, css="tag")
    drawing.text(middle[0], middle[1] - most - 8, "audience", anchor="middle")
    drawing.text(middle[0], middle[1] + most + 16, "stage", anchor="middle")
    return drawing.svg(ROUND + 20, _around_words(plan, polar))


def _share(level_db: float) -> float:
    return max(0.0, 1 + level_db / (RING_DB * RINGS))


def _around(middle: tuple[float, float], radius: float, angle_deg: float) -> tuple[float, float]:
    turn = math.radians(angle_deg)
    return middle[0] + radius * math.sin(turn), middle[1] - radius * math.cos(turn)


def _around_words(plan: ArrayPlan, polar: ArrayPolar) -> str:
    told = [
        f"{angle:.0f} degrees: {level:.0f} dB"
        for angle, level in zip(plan.angles_deg, polar.level_db, strict=True)
        if abs(angle % 45) < 1e-6
    ]
    return (
        f"In dB re the loudest direction, clockwise from the aim: {', '.join(told)}. "
        f"Rings stand {RING_DB} dB apart."
    )


def array_plan_picture(plan: ArrayPlan, width: float = PLAN_WIDE) -> str:
    """The boxes from above, the audience upwards, each with its delay and polarity."""
    drawing = Drawing(width, f"Plan of the array: {plan.kind}", "array")
    across = [each.right_m for each in plan.elements] or [0.0]
    ahead = [each.ahead_m for each in plan.elements] or [0.0]
    spread = max(max(across) - min(across) + 2 * BOX_M, 2.0)
    deep = max(ahead) - min(ahead)
    scale = min((width - 40) / spread, 90.0)
    top, left = 30.0, width / 2 - (max(across) + min(across)) / 2 * scale
    floor = top + deep * scale + BOX_M * scale
    drawing.text(width / 2, 16, "audience", anchor="middle")
    for number_, each in enumerate(plan.elements, start=1):
        x, y = left + each.right_m * scale, floor - each.ahead_m * scale
        half = BOX_M * scale / 2
        drawing.rect(x - half, y - 2 * half, 2 * half, 2 * half, "element")
        drawing.path([(x - half, y - 2 * half), (x + half, y - 2 * half)], "front", 4)
        if half > LEAST_HALF:
            drawing.text(x, y - half + 6, str(number_), anchor="middle", bold=True)
    y = _named(drawing, plan.elements, floor + 24, width)
    return drawing.svg(y + 6, _plan_words(plan))


def _named(drawing: Drawing, elements: Sequence[ArrayElement], y: float, width: float) -> float:
    """The boxes by the numbers in them, with what to enter."""
    for number_, each in enumerate(elements, start=1):
        turned = ", inverted" if each.inverted else ""
        words = f"{number_}  {each.placement}: {number(each.delay_ms)} ms{turned}"
        for row in fitted(words, width - 8, 2):
            drawing.text(4, y, row)
            y += 20
    return y


def _plan_words(plan: ArrayPlan) -> str:
    told = "; ".join(
        f"{each.placement}: {number(each.ahead_m)} m ahead, {number(each.right_m)} m to the right "
        f"of the middle, delay {number(each.delay_ms)} ms{', inverted' if each.inverted else ''}"
        for each in plan.elements
    )
    return f"Seen from above, the audience upwards. {told}."
