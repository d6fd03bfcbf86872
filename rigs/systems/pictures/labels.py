"""Names on a plan that do not lie on each other."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from calc.system import Placement
from rigs.systems.pictures.svg import TEXT_SIZE, Drawing, text_width

Extent = tuple[float, float, float, float]
Point = tuple[float, float]

NEIGHBOUR = 64.0
NEAR_SPOTS = 4
NUMBERED = re.compile(r"^(.*?)(\d{1,6})(\D*)$")


@dataclass(frozen=True, slots=True)
class Group:
    """Neighbours under one label: "Sub 1 to 4" instead of four names."""

    text: str
    extent: Extent


@dataclass(frozen=True, slots=True)
class _Mark:
    """A box on the paper; its name as before + number + after, number -1 without one."""

    before: str
    after: str
    number: int
    sheet: str
    point: Point

    def follows(self, last: "_Mark") -> bool:
        """Whether this is the next of a row: the next number, same type, near."""
        (x1, y1), (x2, y2) = last.point, self.point
        return (
            abs(x1 - x2) < NEIGHBOUR
            and abs(y1 - y2) < NEIGHBOUR
            and (self.before, self.after, self.sheet) == (last.before, last.after, last.sheet)
            and self.number == last.number + 1 > 0
        )


def grouped(boxes: Iterable[Placement], at: Callable[[Placement], Point]) -> Iterator[Group]:
    """Boxes of one type whose numbers follow each other, near each other on the paper."""
    marks = [_mark(box, at(box)) for box in boxes]
    run: list[_Mark] = []
    for mark in sorted(marks, key=lambda m: (m.before, m.after, m.number)):
        if run and not mark.follows(run[-1]):
            yield _group(run)
            run = []
        run.append(mark)
    if run:
        yield _group(run)


def _mark(box: Placement, point: Point) -> _Mark:
    found = NUMBERED.match(box.name)
    if found is None:
        return _Mark(box.name, "", -1, box.sheet, point)
    return _Mark(found[1], found[3], int(found[2]), box.sheet, point)


def _group(run: list[_Mark]) -> Group:
    xs, ys = [mark.point[0] for mark in run], [mark.point[1] for mark in run]
    first, last = run[0], run[-1]
    number = "" if first.number < 0 else str(first.number)
    if len(run) > 1:
        number += f" to {last.number}"
    text = f"{first.before}{number}{first.after}"
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
        """Write a text near a rectangle, at the first of many places that is free.

        A text that had to go further away is tied to its rectangle by a thin line.
        """
        wide = text_width(text)
        for number, (x, baseline) in enumerate(_spots(around, wide)):
            left, top = x, baseline - TEXT_SIZE
            extent = (left, top, left + wide, baseline + 4)
            if self._free(extent):
                self.keep_free(*extent)
                drawing.text(x, baseline, text, css=css)
                if number >= NEAR_SPOTS and css == "name":
                    drawing.path(_tie(extent, around), "tie", 0.75)
                return
        # Everything is full: the table beside the plan still lists the name.

    def _free(self, extent: Extent) -> bool:
        left, top, right, bottom = extent
        if left < 0 or top < 0 or right > self.width or bottom > self.height:
            return False
        return all(
            right <= x1 or x2 <= left or bottom <= y1 or y2 <= top for x1, y1, x2, y2 in self.taken
        )


def _tie(label: Extent, around: Extent) -> list[Point]:
    """From the middle of the label's nearer edge to the middle of what it names."""
    left, top, right, bottom = label
    x, y = (around[0] + around[2]) / 2, (around[1] + around[3]) / 2
    edge_y = top if y < top else bottom if y > bottom else (top + bottom) / 2
    edge_x = min(max(x, left), right)
    return [(edge_x, edge_y), (x, y)]


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
