"""Whether ways can be fed with one and the same signal."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from calc.system import Way

LEAST_OVERLAP = 0.6
"""1. Ways play the same band where at least this share of what they cover together is common to
both, in octaves. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FedWay:
    """A way that a processor output feeds, and by which drive line."""

    line: str
    sheet: str
    way: Way

    @property
    def name(self) -> str:
        """Drive line and way."""
        return f"{self.line} (way {self.way.name} of {self.sheet})"


def overlap(one: Way, other: Way) -> float | None:
    """Octaves that both ways play over octaves that either plays, 0 to 1; None if unknown."""
    lows = (one.low_hz.value, other.low_hz.value)
    highs = (one.high_hz.value, other.high_hz.value)
    low = [hz for hz in lows if hz is not None]
    high = [hz for hz in highs if hz is not None]
    if len(low) < 2 or len(high) < 2:
        return None
    both = math.log(min(high) / max(low))
    return max(0.0, both / math.log(max(high) / min(low)))


def first_pair(
    ways: Sequence[FedWay],
) -> tuple[tuple[FedWay, FedWay] | None, tuple[FedWay, FedWay] | None]:
    """The first two ways of different bands, and the first two of which nobody knows.

    One way of one sheet is the same wherever it stands, whatever is known of its band.
    """
    kinds = list({(fed.sheet, fed.way.name): fed for fed in ways}.values())
    unknown = None
    for one, other in combinations(kinds, 2):
        common = overlap(one.way, other.way)
        if common is not None and common < LEAST_OVERLAP:
            return (one, other), None
        if common is None and unknown is None:
            unknown = (one, other)
    return None, unknown
