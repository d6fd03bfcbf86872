"""What a fit is asked for: the curve wished for, how much each place counts, and the limits."""

from dataclasses import dataclass, replace

import numpy as np

from calc.signals.equalise.peaks import Floats, level_db

OVER, OVER_AT_LAST = 4.0, 400.0
"""1. So much more than a full place counts what lies above the ceiling, while filters look for
their places and when they are dialled in. Own choice."""


@dataclass(frozen=True)
class Problem:
    """A fit of peaking sections.

    Parameters
    ----------
    place : (n,)
        Of the frequencies, rising, as `peaks.place_of` gives it.
    wanted_db : (n,)
        What the filters should do there.
    weight : (n,)
        0 (left alone) to 1.
    ceiling_db : (n,)
        What they must not do more of: 0 where nothing may be lifted.
    least, most : (peaks, 3) or (3,)
        Bounds of place, gain (dB) and ln Q of each.
    """

    place: Floats
    wanted_db: Floats
    weight: Floats
    ceiling_db: Floats
    least: Floats
    most: Floats
    over: float = OVER

    def cost(self, level: Floats) -> Floats:
        """What is left, weighted and squared, of levels (..., n): (...)."""
        left = (self.weight * (level - self.wanted_db)) ** 2
        over = np.maximum(level - self.ceiling_db, 0.0) ** 2
        cost: Floats = (left + self.over * over).sum(axis=-1)
        return cost

    def cost_of(self, peaks: Floats) -> float:
        """The same of peaks (peaks, 3)."""
        return float(self.cost(level_db(self.place, peaks)))

    def residual_db(self, level: Floats) -> float:
        """Root mean square of what is left over the places that count, dB."""
        power = self.weight**2
        whole = float(power.sum())
        if whole == 0:
            return 0.0
        return float(np.sqrt((power * (level - self.wanted_db) ** 2).sum() / whole))

    def within(self, peaks: Floats) -> Floats:
        """Peaks moved inside of the bounds."""
        return np.clip(peaks, self.least, self.most)

    def held(self, least: Floats, most: Floats) -> "Problem":
        """The same with other bounds."""
        return replace(self, least=least, most=most)

    def strict(self) -> "Problem":
        """The same with a ceiling that is as good as closed."""
        return replace(self, over=OVER_AT_LAST)
