"""A sheet of paper with frequency along its foot: levels or phases as lines told apart by dashes.

No line depends on colour: each has a dash of its own and, where it is not alone, a name beside a
sample of it above the drawing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from rigs.systems.pictures.bands import hertz
from rigs.systems.pictures.svg import TEXT_SIZE, Drawing, text_width

WIDE, NARROW = 600.0, 340.0
LEFT, RIGHT, FOOT = 46.0, 10.0, 28.0
ROW = 20.0
SAMPLE = 34.0
HIGH_SHARE = 0.42  # of the width: how high the paper is
NAMED_HZ = (
    20, 30, 40, 50, 60, 80, 100, 150, 200, 300, 400, 500, 700, 1000,
    1500, 2000, 3000, 4000, 5000, 7000, 10_000, 15_000, 20_000,
)  # fmt: skip
SOME_HZ = (20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000)
FEW_HZ = (20, 100, 500, 2000, 10_000)
FOUR_OCTAVES = 16.0
DASHES = ("", "9 4", "2 4", "12 4 2 4")
HALF_TURN_DEG = 180.0


@dataclass(frozen=True, slots=True)
class Curve:
    """One line: values over the plot's frequencies; what is not finite leaves a gap.

    `dash` counts in `DASHES`; `thick` in the drawing's units.
    """

    name: str
    values: Sequence[float]
    dash: int = 0
    thick: float = 2.0


@dataclass
class Paper:
    """The axes: from Hz and values to the drawing's units."""

    width: float
    low_hz: float
    high_hz: float
    low: float
    high: float
    top: float = 8.0
    height: float = field(init=False)

    def __post_init__(self) -> None:
        self.height = self.width * HIGH_SHARE if self.width > NARROW else self.width * 0.6

    def x(self, hz: float) -> float:
        """Where a frequency lies."""
        share = math.log(hz / self.low_hz) / math.log(self.high_hz / self.low_hz)
        return LEFT + share * (self.width - LEFT - RIGHT)

    def y(self, value: float) -> float:
        """Where a value lies, held within the paper."""
        share = (self.high - min(max(value, self.low), self.high)) / (self.high - self.low)
        return self.top + share * self.height

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.top + self.height


def begun(
    title: str,
    kind: str,
    width: float,
    curves: Sequence[Curve],
    ends: tuple[float, float],
    values: tuple[float, float],
) -> tuple[Drawing, Paper]:
    """A drawing with the names of its lines on top, and the paper under them."""
    drawing = Drawing(width, title, kind)
    paper = Paper(width, *ends, *values, top=_names(drawing, curves) + 8)
    return drawing, paper


def _names(drawing: Drawing, curves: Sequence[Curve]) -> float:
    """A sample and the name of each line, in rows; how high they are."""
    if len(curves) < 2:
        return TEXT_SIZE / 2
    x, y = 0.0, 16.0
    for curve in curves:
        wide = SAMPLE + 8 + text_width(curve.name) + 18
        if x and x + wide > drawing.width:
            x, y = 0.0, y + ROW
        drawing.path([(x, y - 5), (x + SAMPLE, y - 5)], "curve", curve.thick, **_dash(curve))
        drawing.text(x + SAMPLE + 8, y, curve.name)
        x += wide
    return y + 4


def grid(drawing: Drawing, paper: Paper, step: float, unit: str, named: int = 1) -> None:
    """Rules with their figures: every `step` of the value (each `named`-th told), and Hz."""
    count = round((paper.high - paper.low) / step)
    for number in range(count + 1):
        value = paper.low + number * step
        y = paper.y(value)
        drawing.path([(LEFT, y), (paper.width - RIGHT, y)], "rule", 1)
        if number % named == 0:
            drawing.text(LEFT - 6, y + 5, f"{value:g}", anchor="end")
    for hz in _named_hz(paper):
        if paper.low_hz <= hz <= paper.high_hz:
            x = paper.x(hz)
            drawing.path([(x, paper.top), (x, paper.bottom)], "rule", 1)
            anchor = "end" if x > paper.width - 28 else "middle"
            words = f"{hz / 1000:g}k" if hz >= 1000 else str(hz)
            drawing.text(x, paper.bottom + 18, words, anchor=anchor)
    drawing.text(LEFT + 6, paper.top + 16, unit, css="tag")


def _named_hz(paper: Paper) -> tuple[int, ...]:
    """As many figures as have room."""
    if paper.high_hz / paper.low_hz <= FOUR_OCTAVES:
        return NAMED_HZ if paper.width > NARROW else SOME_HZ
    return SOME_HZ if paper.width > NARROW else FEW_HZ


def draw(
    drawing: Drawing, paper: Paper, frequency_hz: Sequence[float], curves: Sequence[Curve]
) -> None:
    """Levels: what leaves the paper breaks off."""
    for curve in curves:
        for run in _inside(paper, frequency_hz, curve.values):
            drawing.path(run, "curve", curve.thick, **_dash(curve))


def draw_turning(
    drawing: Drawing, paper: Paper, frequency_hz: Sequence[float], curves: Sequence[Curve]
) -> None:
    """Phases: taken within half a turn both ways, broken where they come round."""
    for curve in curves:
        turned = [wrapped(value) for value in curve.values]
        run: list[tuple[float, float]] = []
        before: float | None = None
        for hz, value in zip(frequency_hz, turned, strict=True):
            fits = math.isfinite(value) and paper.low_hz <= hz <= paper.high_hz
            if run and (not fits or (before is not None and abs(value - before) > HALF_TURN_DEG)):
                _stroke(drawing, run, curve)
                run = []
            if fits:
                run.append((paper.x(hz), paper.y(value)))
            before = value if fits else None
        _stroke(drawing, run, curve)


def mark(drawing: Drawing, paper: Paper, hz: float, words: str) -> None:
    """A frequency that matters: an upright line with its figure at the foot of the paper."""
    if not paper.low_hz <= hz <= paper.high_hz:
        return
    x = paper.x(hz)
    drawing.path([(x, paper.top), (x, paper.bottom)], "limit", 1.2, stroke_dasharray="2 3")
    right = x + 6 + text_width(words) < paper.width - RIGHT
    drawing.text(
        x + (6 if right else -6), paper.bottom - 8, words, anchor="start" if right else "end"
    )


def reach(levels: Sequence[Sequence[float]], span: float = 40.0, step: int = 10) -> tuple[int, int]:
    """A range of levels in whole steps: from the loudest down, `span` dB or more."""
    known = [value for curve in levels for value in curve if math.isfinite(value)]
    high = step * math.ceil((max(known, default=0.0) + 1) / step)
    return high - int(span), high


def ends_of(frequency_hz: Sequence[float]) -> tuple[float, float]:
    """The band that a plot shows."""
    return (min(frequency_hz), max(frequency_hz)) if frequency_hz else (20.0, 20_000.0)


def wrapped(degrees: float) -> float:
    """An angle within half a turn both ways."""
    return (degrees + 180.0) % 360.0 - 180.0 if math.isfinite(degrees) else math.nan


def said_hz(hz: float) -> str:
    """A frequency with three figures."""
    return hertz(float(f"{hz:.3g}"))


def _inside(
    paper: Paper, frequency_hz: Sequence[float], values: Sequence[float]
) -> list[list[tuple[float, float]]]:
    """What lies on the paper, with one point beyond its edge at each end, laid onto the edge."""
    hz, level = np.asarray(frequency_hz, float), np.asarray(values, float)
    known = np.isfinite(level) & (hz >= paper.low_hz) & (hz <= paper.high_hz)
    shown = known & (level >= paper.low) & (level <= paper.high)
    near = shown.copy()
    near[1:] |= shown[:-1]
    near[:-1] |= shown[1:]
    kept = np.flatnonzero(near & known)
    runs = np.split(kept, np.flatnonzero(np.diff(kept) > 1) + 1)
    return [[(paper.x(hz[n]), paper.y(level[n])) for n in run] for run in runs if len(run) > 1]


def _stroke(drawing: Drawing, run: list[tuple[float, float]], curve: Curve) -> None:
    if len(run) > 1:
        drawing.path(run, "curve", curve.thick, **_dash(curve))


def _dash(curve: Curve) -> dict[str, str]:
    dash = DASHES[curve.dash % len(DASHES)]
    return {"stroke_dasharray": dash} if dash else {}
