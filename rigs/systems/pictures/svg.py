"""The few SVG parts that the drawings need: ink on paper, readable without any style sheet.

Everything carries presentation attributes beside its class: a printed packet has no style
sheet, and style attributes are forbidden on the pages. Names are escaped here and only here.
"""

from dataclasses import dataclass, field
from html import escape

TEXT_SIZE = 14
CHARACTER_SHARE = 0.53  # mean width of a character over its height, wide side of usual faces


def n(value: float) -> str:
    """A coordinate with one decimal at most."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def text_width(text: str, size: float = TEXT_SIZE) -> float:
    """Roughly how wide a text is drawn."""
    return len(text) * size * CHARACTER_SHARE


def fitted(text: str, width: float, lines: int = 1, size: float = TEXT_SIZE) -> list[str]:
    """Break a text into at most so many lines of a width; what is cut off ends in dots."""
    most = max(int(width / (size * CHARACTER_SHARE)), 3)
    rows: list[str] = []
    rest = " ".join(text.split())
    while rest and len(rows) < lines:
        if len(rest) <= most:
            rows.append(rest)
            return rows
        cut = rest.rfind(" ", 1, most + 1)
        if len(rows) == lines - 1 or cut < 1:
            cut = most
        rows.append(rest[:cut].rstrip())
        rest = rest[cut:].lstrip()
    if rest and rows:
        rows[-1] = rows[-1][: most - 1].rstrip() + "\u2026"
    return rows


@dataclass
class Drawing:
    """Collects parts; `svg` closes the drawing."""

    width: float
    title: str
    kind: str
    parts: list[str] = field(default_factory=list)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: int = TEXT_SIZE,
        anchor: str = "start",
        bold: bool = False,
        limiting: bool = False,
        css: str = "",
    ) -> None:
        """One line of text; `limiting` underlines it."""
        more = f' class="{css}"' if css else ""
        if anchor != "start":
            more += f' text-anchor="{anchor}"'
        if bold or limiting:
            more += ' font-weight="bold"'
        if limiting:
            more += ' text-decoration="underline"'
        self.parts.append(
            f'<text x="{n(x)}" y="{n(y)}" font-size="{size}"{more}>{escape(text)}</text>'
        )

    def rect(self, x: float, y: float, width: float, height: float, css: str = "block") -> None:
        """An outlined box."""
        self.parts.append(
            f'<rect class="{css}" x="{n(x)}" y="{n(y)}" width="{n(width)}" '
            f'height="{n(height)}" rx="2" fill="none" stroke="currentColor" stroke-width="1.5"/>'
        )

    def path(
        self, points: list[tuple[float, float]], css: str = "wire", thick: float = 1.5, **more: str
    ) -> None:
        """An open line through points."""
        route = " ".join(f"{n(x)},{n(y)}" for x, y in points)
        extra = "".join(f' {name.replace("_", "-")}="{value}"' for name, value in more.items())
        self.parts.append(
            f'<polyline class="{css}" points="{route}" fill="none" stroke="currentColor" '
            f'stroke-width="{thick:g}"{extra}/>'
        )

    def polygon(
        self,
        points: list[tuple[float, float]],
        css: str,
        fill: str = "none",
        fill_opacity: float = 1,
        title: str = "",
    ) -> None:
        """A closed outline."""
        route = " ".join(f"{n(x)},{n(y)}" for x, y in points)
        inner = f"<title>{escape(title)}</title>" if title else ""
        opacity = f' fill-opacity="{fill_opacity:g}"' if fill != "none" else ""
        self.parts.append(
            f'<polygon class="{css}" points="{route}" fill="{fill}"{opacity} '
            f'stroke="currentColor" stroke-width="1">{inner}</polygon>'
        )

    def dot(self, x: float, y: float, radius: float, css: str = "dot") -> None:
        """A filled point."""
        self.parts.append(
            f'<circle class="{css}" cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" fill="currentColor"/>'
        )

    def ring(
        self, x: float, y: float, radius: float, css: str = "ring", thick: float = 1.5
    ) -> None:
        """A circle."""
        self.parts.append(
            f'<circle class="{css}" cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" fill="none" '
            f'stroke="currentColor" stroke-width="{thick:g}"/>'
        )

    def svg(self, height: float, description: str) -> str:
        """The whole drawing as text."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="picture {self.kind}" role="img" '
            f'viewBox="0 0 {n(self.width)} {n(height)}" width="{n(self.width)}" '
            f'height="{n(height)}" font-family="sans-serif" fill="currentColor">'
            f"<title>{escape(self.title)}</title><desc>{escape(description)}</desc>"
            f"{''.join(self.parts)}</svg>"
        )
