"""What plans and sections share: from metres to the drawing, words, the scale bar."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from venues.free import FreeSpace, Spot

WIDTH, HEIGHT = 640.0, 480.0
MARGIN = 56.0
TEXT_SIZE = 21.0
"""What words are given room for: they grow so far on a phone, where the drawing shrinks."""

SCALE_BARS_M = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class View:
    """From metres (across, up) to the drawing. Up on the page is up or away from the stage."""

    left_m: float
    bottom_m: float
    scale: float
    height: float

    def x(self, metres: float) -> float:
        return MARGIN + (metres - self.left_m) * self.scale

    def y(self, metres: float) -> float:
        return self.height - MARGIN - (metres - self.bottom_m) * self.scale

    def points(self, pairs: Iterable[Pair]) -> str:
        """As SVG wants them."""
        return " ".join(f"{self.x(a):.1f},{self.y(b):.1f}" for a, b in pairs)

    def free_space(self) -> FreeSpace:
        """All of the drawing but the scale bar's line."""
        return FreeSpace(WIDTH, self.height - 26, TEXT_SIZE)

    def attributes(self) -> str:
        """The same numbers for the script that drags handles."""
        return (
            f'data-left="{self.left_m:.4f}" data-bottom="{self.bottom_m:.4f}" '
            f'data-scale="{self.scale:.4f}" data-height="{self.height:.1f}" '
            f'data-margin="{MARGIN:g}"'
        )


def view_of(pairs: Iterable[Pair], spare_m: float = 0.0, least_m: float = 1.0) -> View:
    """A view of all points and the origin, with some spare metres on every side."""
    across, up = zip(*pairs, (0.0, 0.0), strict=True)
    left, right = min(across) - spare_m, max(across) + spare_m
    bottom, top = min(up) - spare_m, max(up) + spare_m
    wide, high = max(right - left, 1.0), max(top - bottom, least_m)
    scale = min((WIDTH - 2 * MARGIN) / wide, (HEIGHT - 2 * MARGIN) / high)
    spare = (WIDTH - 2 * MARGIN) / scale - wide
    return View(left - spare / 2, bottom, scale, high * scale + 2 * MARGIN)


def line(points: str, css: str, thick: float = 1, dashes: str = "") -> str:
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<polyline class="{css}" points="{points}" fill="none" stroke="currentColor" '
        f'stroke-width="{thick:g}"{more}/>'
    )


def polygon(points: str, css: str, thick: float = 2, dashes: str = "") -> str:
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<polygon class="{css}" points="{points}" fill="none" stroke="currentColor" '
        f'stroke-width="{thick:g}"{more}/>'
    )


def text(x: float, y: float, words: str, anchor: str, css: str) -> str:
    return (
        f'<text class="{css}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
        f'fill="currentColor">{escape(words)}</text>'
    )


def named(free: FreeSpace, words: str, spots: Sequence[Spot], css: str) -> Iterator[str]:
    """A name at the first free spot."""
    chosen = free.choose(words, spots)
    if chosen:
        yield text(*chosen[:2], words, chosen[2], css)


def place_mark(free: FreeSpace, x: float, y: float, name: str) -> Iterator[str]:
    """A pair of ears: a ring with a dot in it."""
    yield (
        f'<circle class="plan-place" cx="{x:.1f}" cy="{y:.1f}" r="7" fill="none" '
        'stroke="currentColor" stroke-width="2"/>'
        f'<circle class="plan-place-dot" cx="{x:.1f}" cy="{y:.1f}" r="2" fill="currentColor"/>'
    )
    yield from named(free, name, free.beside(x, y, 11), "plan-place-name")


def scale_bar(view: View) -> Iterator[str]:
    metres = max((m for m in SCALE_BARS_M if m * view.scale <= WIDTH / 4), default=1)
    right, y = WIDTH - MARGIN / 2, view.height - 12
    left = right - metres * view.scale
    yield (
        f'<path class="plan-scale" d="M{left:.1f} {y - 6:.1f}v6H{right:.1f}v-6" fill="none" '
        'stroke="currentColor"/>'
    )
    yield text(left - 8, y, f"{metres} m", "end", "plan-scale-name")
