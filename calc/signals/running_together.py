"""The delay and polarity with which two sounds run together through all of their overlap.

Phases that meet at one frequency may part again beside it. So the delay is sought that makes the
weighted mean of cos(phase) over the overlap largest, every octave counting alike and a frequency
as much as the quieter side is near the louder one.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

WITHIN_DB = 10.0
"""dB between the sides in the overlap: 10 dB apart, phase moves the sum by +2.4 to -3.3 only."""

FIT_DB = 20.0
"""dB between the sides as far as the fit looks: steep filters tell polarity from delay there."""

AUDIBLE_DB = 40.0
"""So far below the loudest sum nothing counts as overlap. Own choice."""

PERIODS = 1.5
"""So many periods of the overlap's middle are tried to either side of equal arrivals."""

CLEARLY = 0.01
"""An inverted answer must be better by this much mean cosine to be chosen. Own choice."""

PER_PERIOD = 0.02
"""So much mean cosine a period away from equal arrivals must win. Own choice."""

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Fit:
    """`add_ms` more delay for the moved side, and whether to turn its polarity.

    `likeness` (-1 to 1) is the weighted mean of cos(phase) then.
    """

    add_ms: float
    flip: bool
    likeness: float


def overlap_of(moved: Complex, reference: Complex, within_db: float = WITHIN_DB) -> slice:
    """The frequencies around the crossing where both lie within 10 dB; empty where nowhere.

    Of several stretches the one that holds the loudest quieter side.
    """
    one, other = np.abs(moved), np.abs(reference)
    loud, quiet = np.maximum(one, other), np.minimum(one, other)
    near = (quiet >= loud * 10 ** (-within_db / 20)) & (
        loud > loud.max(initial=0.0) * 10 ** (-AUDIBLE_DB / 20)
    )
    if not near.any():
        return slice(0, 0)
    best = int(np.where(near, quiet, -1.0).argmax())
    first = last = best
    while first > 0 and near[first - 1]:
        first -= 1
    while last + 1 < len(near) and near[last + 1]:
        last += 1
    return slice(first, last + 1)


def best_fit(hz: Floats, moved: Complex, reference: Complex, equal_ms: float, flipped: bool) -> Fit:
    """Search the delay and the polarity.

    Parameters
    ----------
    hz : (n,)
        Of the overlap (`FIT_DB`), in equal ratios.
    moved, reference : (n,)
        As set.
    equal_ms : float
        What makes the first arrivals equal: the search's middle.
    flipped : bool
        Whether one side is inverted against the other as set: no inversion is preferred.
    """
    one, other = np.abs(moved), np.abs(reference)
    weight = np.minimum(one, other) / np.maximum(np.maximum(one, other), 1e-30)
    turn = weight * np.exp(1j * np.angle(moved * reference.conj())) / weight.sum()
    reach = 1000 * PERIODS / math.sqrt(float(hz[0] * hz[-1]))
    step = 1000 / (40 * float(hz[-1]))
    count = math.ceil(reach / step)
    away: Floats = step * np.arange(-count, count + 1, dtype=np.float64)
    height: Floats = np.real(np.exp(-2j * np.pi * np.outer((equal_ms + away) / 1000, hz)) @ turn)
    found = {
        flip: _top(hz, turn, equal_ms, away, -height if flip else height, flip)
        for flip in (False, True)
    }
    upright, inverted = found[flipped], found[not flipped]
    return inverted[1] if inverted[0] > upright[0] + CLEARLY else upright[1]


def _top(
    hz: Floats, turn: Complex, equal_ms: float, away: Floats, height: Floats, flip: bool
) -> tuple[float, Fit]:
    """The best of one polarity, refined between the tried delays, and how good it is."""
    period = 1000 / math.sqrt(float(hz[0] * hz[-1]))
    good = height - PER_PERIOD * np.abs(away) / period
    tops = np.nonzero((height[1:-1] >= height[:-2]) & (height[1:-1] >= height[2:]))[0] + 1
    best = int(tops[good[tops].argmax()]) if len(tops) else int(good.argmax())
    late = equal_ms + float(away[best])
    sign = -1.0 if flip else 1.0
    angular = 2 * np.pi * hz / 1000
    for _ in range(5 if len(tops) else 0):  # Newton on the slope
        part = sign * turn * np.exp(-1j * angular * late)
        slope, bend = float(angular @ part.imag), float(angular**2 @ part.real)
        late += slope / bend if bend > 0 else 0.0
    likeness = float(np.real(np.sum(sign * turn * np.exp(-1j * angular * late))))
    return float(good[best]), Fit(late, flip, likeness)


def worst_phase_deg(moved: Complex, reference: Complex) -> float:
    """The largest phase between the two, 0 to 180 degrees."""
    return float(np.degrees(np.abs(np.angle(moved * reference.conj()))).max())


def mean_sum_db(moved: Complex, reference: Complex) -> float:
    """Mean gain of the sum over the louder side, dB (at most 6.02; never below -60)."""
    louder = np.maximum(np.maximum(np.abs(moved), np.abs(reference)), 1e-30)
    ratio = np.maximum(np.abs(moved + reference) / louder, 1e-3)
    return float(np.mean(20 * np.log10(ratio)))
