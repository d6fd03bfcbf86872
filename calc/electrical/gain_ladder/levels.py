"""Names of the stages, and sums of levels that may be unknown."""

import math
from collections.abc import Sequence

MIXER, INPUT, OUTPUT = "mixer", "processor input", "processor output"
AMPLIFIER_INPUT, AMPLIFIER_OUTPUT, BOX = "amplifier input", "amplifier output", "box"


def plus(a: float | None, b: float | None) -> float | None:
    """Sum of decibels; -inf (nothing) stays so, unknown stays unknown."""
    if a == -math.inf:
        return a
    return None if a is None or b is None else a + b


def sum_db(levels: Sequence[float]) -> float:
    """Powers added, in dB; at least one level."""
    return 10 * math.log10(sum(10 ** (one / 10) for one in levels))
