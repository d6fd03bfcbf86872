"""Small pieces of SVG.

Every shape carries presentation attributes in ink on white, which is what paper shows. The
page's variant adds a style that turns ink round in the dark: see `themed`.
"""

import re
from collections.abc import Iterable
from html import escape

INK, PAPER, MUTED = "#1a1c1f", "#ffffff", "#54585d"
STEPS = 10
WIDE = 360.0
LIGHT = ((240, 244, 247), (58, 110, 158))
DARK = ((30, 41, 52), (150, 203, 245))


def shade(step: int, ends: tuple[tuple[int, int, int], tuple[int, int, int]] = LIGHT) -> str:
    """Colour of a step from 0 (quiet) to STEPS - 1 (loud): lightness alone tells them apart."""
    share = step / (STEPS - 1)
    parts = (round(a + (b - a) * share) for a, b in zip(*ends, strict=True))
    return "#" + "".join(f"{part:02x}" for part in parts)


def _theme() -> str:
    shades = "".join(f".b{n}{{fill:{shade(n, DARK)}}}" for n in range(STEPS))
    return (
        "<style>@media (prefers-color-scheme:dark){"
        "svg{color:#ece8de}.ink{fill:#ece8de}.line{stroke:#ece8de}.halo{stroke:#141618}.halo-fill{fill:#141618}.muted{fill:#b2b5b8}"
        f"{shades}}}</style>"
    )


THEME = _theme()


def themed(svg: str) -> str:
    """The drawing with a style that follows light and dark."""
    head, closing, rest = svg.partition(">")
    return f"{head}{closing}{THEME}{rest}"


def size_of(svg: str) -> tuple[float, float]:
    """Width and height that a drawing states."""
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    return (float(box[1]), float(box[2])) if box else (WIDE, WIDE)


def at(value: float) -> str:
    """A coordinate with one decimal and nothing idle."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def path(points: Iterable[tuple[float, float]], closed: bool = True) -> str:
    """Path data through points."""
    steps = [f"{at(x)} {at(y)}" for x, y in points]
    return "M" + "L".join(steps) + ("Z" if closed else "")


def label(x: float, y: float, words: str, *, anchor: str = "middle", size: int = 14) -> str:
    """Text with a halo, so that it reads on any shade."""
    return (
        f'<text class="ink halo" x="{at(x)}" y="{at(y)}" font-size="{size}" '
        f'text-anchor="{anchor}" fill="{INK}" stroke="{PAPER}" stroke-width="3" '
        f'stroke-linejoin="round" paint-order="stroke">{escape(words)}</text>'
    )


def drawing(size: tuple[float, float], title: str, words: str, parts: Iterable[str]) -> str:
    """A whole picture with its title and what it shows in words."""
    width, height = at(size[0]), at(size[1])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" role="img" '
        'font-family="system-ui, DejaVu Sans, sans-serif">'
        f"<title>{escape(title)}</title><desc>{escape(words)}</desc>{''.join(parts)}</svg>"
    )
