"""At which frequencies a loop would ring, in which order, and how much gain is left before.

A loop rings where its response L, from the system through the room and the microphone back into
the system, comes to the real number 1: it gives back what went in, in step (Nyquist 1932). Raised
by a gain g, the first to get there is the highest crossing of the positive real axis, not the
highest magnitude: most peaks arrive out of step.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calc.signals.feedback.crossings import Floats, crossings_of, curves_of, strongest_of

NEVER_DB = 200.0
"""dB. The margin of a loop that never comes in step, as far as its lines reach."""


@dataclass(frozen=True, slots=True)
class Ring:
    """A frequency at which a loop would ring, and by how much it may be raised until then.

    `margin_db` below 0: it rings already, unless it is switched off.
    """

    frequency_hz: float
    margin_db: float


def gain_before_feedback_db(response: ArrayLike) -> Floats:
    """By how much each loop may be raised until it rings, dB, (m,).

    Below 0: its curve passes beyond +1 already. A loop that never comes in step gets 200 dB.

    Parameters
    ----------
    response : (m, n) or (n,) complex
        Loops over evenly spaced frequencies, as they are set now, with lines so close that none
        turns by half a turn from one to the next.

    Raises
    ------
    ValueError
        In words: no lines, no numbers, or nothing came back at all.
    """
    highest = np.maximum(strongest_of(curves_of(response)), 10 ** (-NEVER_DB / 20))
    margin: Floats = -20 * np.log10(highest)
    return margin


def rings_of(
    frequency_hz: ArrayLike,
    response: ArrayLike,
    *,
    believed: NDArray[np.bool_] | None = None,
    within_db: float = 12.0,
    most: int = 24,
) -> tuple[Ring, ...]:
    """The frequencies of one loop (n,) that would ring, in the order in which they would.

    Only where the phase falls with rising frequency does a ring begin as the gain is raised;
    where it rises, one that sounds already would stop. None at all where it never crosses.

    Parameters
    ----------
    frequency_hz : (n,)
        Rising.
    believed : (n,) bool, optional
        False where the measurement can't be believed: nothing is said there.
    within_db : float
        So far behind the first ring the list ends.
    most : int
        And it is no longer than this.

    Raises
    ------
    ValueError
        As `gain_before_feedback_db`, or the frequencies do not fit the lines.
    """
    curves = curves_of(response)[:1]
    hz = _frequencies(frequency_hz, curves.shape[1])
    found = crossings_of(curves)
    found = found.only(found.falling)
    if believed is not None:
        found = found.only(found.between(believed))
    order = np.argsort(-found.size, kind="stable")[:most]
    at, margin = found.hz(hz)[order], -20 * np.log10(found.size[order])
    return tuple(
        Ring(float(f), float(db))
        for f, db in zip(at, margin, strict=True)
        if db <= margin[0] + within_db
    )


def ringing_now(response: ArrayLike) -> int:
    """How many frequencies of one loop (n,) ring as it is set: its curve's turns round +1.

    0 with a margin below 0: the loop is stable at just this gain, but rings at a lower one on
    the way there, and is no more to be trusted.

    Raises
    ------
    ValueError
        As `gain_before_feedback_db`.
    """
    found = crossings_of(curves_of(response)[:1])
    beyond = found.size > 1
    return int((found.falling & beyond).sum()) - int((~found.falling & beyond).sum())


def regenerated_db(margin_db: float) -> float:
    """How much a loop lifts its own ringing frequency at a margin above 0: 1 / (1 - L).

    3 dB below the ring it stands 10.7 dB out of the rest, 6 dB below 6.0 dB: that is what the
    6 dB of common practice buy.
    """
    if margin_db <= 0:
        raise ValueError("at no margin the loop rings: nothing is finite there")
    return -20 * math.log10(1 - 10 ** (-margin_db / 20))


def _frequencies(frequency_hz: ArrayLike, lines: int) -> Floats:
    hz = np.asarray(frequency_hz, dtype=np.float64)
    if hz.shape != (lines,):
        raise ValueError(f"{hz.size} frequencies do not fit a loop of {lines} lines")
    if not (np.isfinite(hz).all() and hz[0] >= 0 and (np.diff(hz) > 0).all()):
        raise ValueError("the frequencies of a loop rise, from 0 Hz or above")
    return hz
