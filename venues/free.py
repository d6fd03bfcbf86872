"""Room for words on a drawing: none lies on another, nor on what is marked. Pure geometry."""

from collections.abc import Sequence
from dataclasses import dataclass, field

CHARACTER_SHARE = 0.53
"""Mean width of a character over its height, on the wide side of usual faces."""

Extent = tuple[float, float, float, float]
"""Left, top, right, bottom; down is positive, as in SVG."""

Spot = tuple[float, float, str]
"""Where a text stands on its baseline, and which part of it: "start", "middle" or "end"."""


@dataclass
class FreeSpace:
    """What is free on a drawing for texts of one size."""

    width: float
    height: float
    size: float = 14.0
    taken: list[Extent] = field(default_factory=list)

    def extent_of(self, spot: Spot, words: str) -> Extent:
        """Roughly what words at a spot cover."""
        x, y, anchor = spot
        wide = len(words) * self.size * CHARACTER_SHARE
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        aside = 0.15 * self.size  # two names side by side do not read as one
        return left - aside, y - 0.86 * self.size, left + wide + aside, y + 0.28 * self.size

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

    def choose(self, words: str, spots: Sequence[Spot], needed: bool = True) -> Spot | None:
        """Take the first free spot for words.

        Where none is free: the first one on the drawing if they are `needed`, else None.
        """
        on_it = [spot for spot in spots if self._on_it(self.extent_of(spot, words))]
        free = (spot for spot in on_it if self.holds(self.extent_of(spot, words)))
        chosen = next(free, None) or (next(iter(on_it or spots), None) if needed else None)
        if chosen:
            self.taken.append(self.extent_of(chosen, words))
        return chosen

    def beside(self, x: float, y: float, reach: float = 9.0) -> list[Spot]:
        """Spots around a mark: right, left, above, below, its four corners; then the same
        some lines above and below, as marks often lie on each other."""
        middle, high, low = y + 0.36 * self.size, y - reach - 2, y + reach + 0.8 * self.size
        corners: list[Spot] = [
            (x + turn * reach, up, side)
            for up in (high, low)
            for turn, side in ((1, "start"), (-1, "end"))
        ]
        near: list[Spot] = [
            (x + reach, middle, "start"),
            (x - reach, middle, "end"),
            (x, high, "middle"),
            (x, low, "middle"),
            *corners,
        ]
        lines = (0.0, -1.1 * self.size, 1.1 * self.size, -2.2 * self.size)
        return [(across, up + more, side) for more in lines for across, up, side in near]

    def _on_it(self, extent: Extent) -> bool:
        left, top, right, bottom = extent
        return left >= 0 and top >= 0 and right <= self.width and bottom <= self.height
