"""Names on a plan that do not lie on each other."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from calc.system import Placement
from rigs.systems.pictures.svg import TEXT_SIZE, Drawing, text_width

Extent = tuple[float, float, float, float]
Point = tuple[float, float]

NEIGHBOUR = 64.0
NUMBERED = re.compile(r"^(.*?)\s*(\d+)$")


@dataclass(frozen=True, slots=True)
class Group:
    """Neighbours under one label: "Sub 1 to 4" instead of four names."""

    text: str
    extent: Extent


def grouped(boxes: Iterable[Placement], at: Callable[[Placement], Point]) -> Iterator[Group]:
    """Boxes of one type and stem with numbers that follow, near each other on the paper."""
    run: list[tuple[str, int, Point, str]] = []
    for stem, number, box in sorted(map(_split, boxes), key=lambda part: part[:2]):
        point = at(box)
        if run and not _follows(run[-1], stem, number, box.sheet, point):
            yield _group(run)
            run = []
        run.append((stem, number, point, box.sheet))
    if run:
        yield _group(run)


def _split(box: Placement) -> tuple[str, int, Placement]:
    found = NUMBERED.match(box.name)
    return (found[1], int(found[2]), box) if found else (box.name, -1, box)


def _follows(
    last: tuple[str, int, Point, str], stem: str, number: int, sheet: str, point: Point
) -> bool:
    (x1, y1), (x2, y2) = last[2], point
    near = abs(x1 - x2) < NEIGHBOUR and abs(y1 - y2) < NEIGHBOUR
    return near and last[0] == stem and last[3] == sheet and number == last[1] + 1 > 0


def _group(run: list[tuple[str, int, Point, str]]) -> Group:
    xs, ys = [point[0] for _, _, point, _ in run], [point[1] for _, _, point, _ in run]
    stem, first = run[0][0], run[0][1]
    text = stem if first < 0 else f"{stem} {first}"
    if len(run) > 1:
        text += f" to {run[-1][1]}"
    return Group(text, (min(xs), min(ys), max(xs), max(ys)))


@dataclass
class Labels:
    """Places texts where nothing lies yet, within the paper."""

    width: float
    height: float
    taken: list[Extent] = field(default_factory=list)

    def keep_free(self, *extent: float) -> None:
        """Mark a rectangle (left, top, right, bottom) as taken."""
        left, top, right, bottom = extent
        self.taken.append((left, top, right, bottom))

    def place(self, drawing: Drawing, text: str, around: Extent, css: str = "name") -> None:
        """Write a text near a rectangle, at the first of many places that is free."""
        wide = text_width(text)
        for x, baseline in _spots(around, wide):
            left, top = x, baseline - TEXT_SIZE
            extent = (left, top, left + wide, baseline + 4)
            if self._free(extent):
                self.keep_free(*extent)
                drawing.text(x, baseline, text, css=css)
                return
        # Everything is full: the table beside the plan still lists the name.

    def _free(self, extent: Extent) -> bool:
        left, top, right, bottom = extent
        if left < 0 or top < 0 or right > self.width or bottom > self.height:
            return False
        return all(
            right <= x1 or x2 <= left or bottom <= y1 or y2 <= top for x1, y1, x2, y2 in self.taken
        )


def _spots(around: Extent, wide: float) -> Iterator[Point]:
    left, top, right, bottom = around
    middle = (left + right - wide) / 2
    for step in range(4):
        gap = 12 + 18 * step
        yield middle, bottom + gap + TEXT_SIZE - 2
        yield right + gap, (top + bottom) / 2 + 5
        yield left - gap - wide, (top + bottom) / 2 + 5
        yield middle, top - gap - 4
        yield right + gap, bottom + gap + TEXT_SIZE - 2
        yield left - gap - wide, bottom + gap + TEXT_SIZE - 2
