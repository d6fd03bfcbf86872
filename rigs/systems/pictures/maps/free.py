"""Room for words on a drawing: none lies on another, nor on what is marked."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from rigs.systems.pictures.maps import ink
from rigs.systems.pictures.svg import TEXT_SIZE, text_width

Extent = tuple[float, float, float, float]
"""Left, top, right, bottom."""

Spot = tuple[float, float, str]
"""Where a text's baseline starts, and which part of it: "start", "middle" or "end"."""

DESCENT = 4.0


def extent_of(x: float, y: float, words: str, anchor: str) -> Extent:
    """Roughly what a label covers."""
    wide = text_width(words)
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return left, y - TEXT_SIZE + 2, left + wide, y + DESCENT


@dataclass
class Free:
    """What is free on a drawing of a size."""

    width: float
    height: float
    taken: list[Extent] = field(default_factory=list)

    def keep(self, x: float, y: float, reach: float) -> None:
        """Mark a square around a point as taken."""
        self.taken.append((x - reach, y - reach, x + reach, y + reach))

    def holds(self, extent: Extent, gap: float = 0.0) -> bool:
        """Whether an extent lies on the drawing, and at least so far off all that is taken."""
        left, top, right, bottom = extent
        return self._on_it(extent) and all(
            right + gap <= x1 or x2 + gap <= left or bottom + gap <= y1 or y2 + gap <= top
            for x1, y1, x2, y2 in self.taken
        )

    def _on_it(self, extent: Extent) -> bool:
        left, top, right, bottom = extent
        return left >= 0 and top >= 0 and right <= self.width and bottom <= self.height

    def label(self, words: str, spots: Sequence[Spot], needed: bool = True) -> str:
        """The words at the first free spot, as SVG.

        Where none is free: at the first one on the drawing if they are `needed`, else "".
        """
        on_it = [spot for spot in spots if self._on_it(extent_of(*spot[:2], words, spot[2]))]
        free = (spot for spot in on_it if self.holds(extent_of(*spot[:2], words, spot[2])))
        chosen = next(free, None) or (next(iter(on_it or spots), None) if needed else None)
        return self._written(*chosen[:2], words, chosen[2]) if chosen else ""

    def _written(self, x: float, y: float, words: str, anchor: str) -> str:
        self.taken.append(extent_of(x, y, words, anchor))
        return ink.label(x, y, words, anchor=anchor)


def beside(x: float, y: float, reach: float = 9.0) -> list[Spot]:
    """Spots around a mark: right, left, above, below, then its four corners."""
    low, high = y + reach + TEXT_SIZE - 3, y - reach - 2
    return [
        (x + reach, y + 5, "start"),
        (x - reach, y + 5, "end"),
        (x, high, "middle"),
        (x, low, "middle"),
        *((x + turn * reach, up, side) for up in (high, low) for turn, side in
          ((1, "start"), (-1, "end"))),
    ]  # fmt: skip
