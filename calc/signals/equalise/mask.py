"""What is left alone, what is never lifted, and why."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.equalise.peaks import Floats
from calc.signals.equalise.spots import PER_OCTAVE, Flags, Heard

AGREE_DB, DISAGREE_DB = 3.0, 6.0
"""dB of standard deviation between spots: full weight up to the first, none from the second."""

NULL_DB = 5.0
"""dB below the median of an octave around: a null, if it is narrow."""

NULL_WIDEST = PER_OCTAVE // 2
"""Places: half an octave. A wider dip is a lack, not a cancellation."""

REACHES_DB = 10.0
"""dB below the target: from there outwards the system does not reach (IEC 60268-5's range of use
goes by 10 dB, RECALL)."""

WHY = {
    "coherence": "what the microphones heard there does not follow the signal well enough",
    "range": "the system does not reach there",
    "outside": "outside of the range that was asked for",
    "spots": "the spots differ too much there: what helps one hurts another",
    "null": "a cancellation: lifting it costs headroom and moves with the microphone",
    "phase": "not of minimum phase: lifting it would only ring. Cuts are allowed",
}


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """A range that got no filter, or no lift, and why (`reason` is a key of WHY)."""

    low_hz: float
    high_hz: float
    reason: str
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class Mask:
    """For each place of the grid: the weight 0 to 1, whether it may be lifted, and the reason."""

    weight: Floats
    liftable: Flags
    reasons: NDArray[np.str_]


def mask_of(heard: Heard, off_target_db: Floats, low_hz: float, high_hz: float, hz: Floats) -> Mask:
    """Weigh the places.

    Parameters
    ----------
    off_target_db : (n,)
        Average less target; NaN where unknown.
    low_hz, high_hz : float
        The range that shall be equalised.
    """
    reasons = np.full(len(hz), "", dtype="<U9")
    reasons[heard.excess] = "phase"
    reasons[nulls(heard.average_db)] = "null"
    reasons[heard.spread_db >= DISAGREE_DB] = "spots"
    reasons[(hz < low_hz) | (hz > high_hz)] = "outside"
    reasons[_unreached(off_target_db)] = "range"
    reasons[~heard.enough] = "coherence"
    agreed = np.clip((DISAGREE_DB - heard.spread_db) / (DISAGREE_DB - AGREE_DB), 0, 1)
    free = (reasons == "") | (reasons == "phase")
    return Mask(np.where(free, agreed, 0.0), reasons == "", reasons)


def nulls(average_db: Floats) -> Flags:
    """Places in a dip that is deep and narrow, with one neighbour on either side."""
    filled = np.where(np.isfinite(average_db), average_db, np.nanmin(average_db))
    around = np.pad(filled, PER_OCTAVE // 2, mode="reflect")
    windows = np.lib.stride_tricks.sliding_window_view(around, PER_OCTAVE + 1)
    low = (filled < np.median(windows, axis=1) - NULL_DB) & np.isfinite(average_db)
    for start, end in runs(low):
        if end - start > NULL_WIDEST:
            low[start:end] = False
    wide: Flags = low.copy()
    wide[1:] |= low[:-1]
    wide[:-1] |= low[1:]
    return wide


def _unreached(off_target_db: Floats) -> Flags:
    """From either end inwards, as long as the average lies far below the target."""
    short = ~(off_target_db > -REACHES_DB)
    outer: Flags = np.logical_and.accumulate(short)
    outer |= np.logical_and.accumulate(short[::-1])[::-1]
    return outer


def runs(flags: Flags) -> list[tuple[int, int]]:
    """First and one past the last of each stretch of true flags."""
    turns = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    starts, ends = np.nonzero(turns == 1)[0], np.nonzero(turns == -1)[0]
    return list(zip(starts.tolist(), ends.tolist(), strict=True))


def left_alone(mask: Mask, hz: Floats) -> tuple[LeftAlone, ...]:
    """The ranges of the mask in words, from low to high."""
    half = 2 ** (0.5 / PER_OCTAVE)
    found = []
    for reason, why in WHY.items():
        for start, end in runs(mask.reasons == reason):
            low, high = float(hz[start]) / half, float(hz[end - 1]) * half
            found.append(LeftAlone(low, high, reason, why))
    return tuple(sorted(found, key=lambda part: part.low_hz))
