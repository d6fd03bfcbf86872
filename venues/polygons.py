"""Polygons as people type them: what can be wrong with one, said in a sentence."""

import math
from itertools import combinations

MAX_CORNERS = 200
MAX_METRES = 2000.0

Point = tuple[float, float]


def polygon_fault(corners: object) -> str:
    """Say what is wrong with a list of [x, y] corners in metres; "" if nothing is."""
    if not isinstance(corners, list) or len(corners) < 3:
        return "An area needs at least three corners."
    if len(corners) > MAX_CORNERS:
        return f"An area may have at most {MAX_CORNERS} corners."
    for number, corner in enumerate(corners, start=1):
        fault = _corner_fault(corner)
        if fault:
            return f"Corner {number}: {fault}"
    points = [(float(x), float(y)) for x, y in corners]
    repeated = _first_repeated(points)
    if repeated:
        first, second = repeated
        return f"Corners {first + 1} and {second + 1} are the same point. Remove one of them."
    crossing = _first_crossing(points)
    if crossing:
        first, second = crossing
        return (
            f"The outline crosses itself: the side from corner {first + 1} meets the side "
            f"from corner {second + 1}. Put the corners in order round the area."
        )
    if abs(signed_area_m2(points)) < 0.25:
        return "The area is smaller than a quarter of a square metre."
    return ""


def signed_area_m2(points: list[Point]) -> float:
    """Area in m2, positive when the corners run anticlockwise."""
    after = points[1:] + points[:1]
    return 0.5 * sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(points, after, strict=True))


def _corner_fault(corner: object) -> str:
    if not isinstance(corner, list | tuple) or len(corner) != 2:
        return "give x and y."
    for value in corner:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return f"{value!r} is not a number."
        if not math.isfinite(value) or abs(value) > MAX_METRES:
            return f"{value} m is not believable."
    return ""


def _first_repeated(points: list[Point]) -> tuple[int, int] | None:
    """The first two corners that are the same point."""
    seen: dict[Point, int] = {}
    for index, point in enumerate(points):
        if point in seen:
            return seen[point], index
        seen[point] = index
    return None


def _first_crossing(points: list[Point]) -> tuple[int, int] | None:
    """The first two sides that meet and are not neighbours at their shared corner."""
    count = len(points)
    sides = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i, j in combinations(range(count), 2):
        neighbours = j == i + 1 or (i == 0 and j == count - 1)
        if neighbours:
            if _folds_back(sides[i], sides[j]) if j == i + 1 else _folds_back(sides[j], sides[i]):
                return i, j
        elif _meet(sides[i], sides[j]):
            return i, j
    return None


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _between(a: Point, b: Point, c: Point) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def _folds_back(side: tuple[Point, Point], following: tuple[Point, Point]) -> bool:
    """Whether the following side runs back along this one."""
    (a, b), (_, c) = side, following
    if _turn(a, b, c) != 0:
        return False
    return (c[0] - b[0]) * (a[0] - b[0]) + (c[1] - b[1]) * (a[1] - b[1]) > 0


def _meet(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = first, second
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if (turns[0] > 0) != (turns[1] > 0) and (turns[2] > 0) != (turns[3] > 0) and all(turns):
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(t == 0 and _between(*e) for t, e in zip(turns, ends, strict=True))
