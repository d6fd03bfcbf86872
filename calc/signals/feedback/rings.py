"""At which frequencies a loop would ring, in which order, and how much gain is left before.

A loop rings where its response L, from the system through the room and the microphone back into
the system, comes to the real number 1: it gives back what went in, in step (Nyquist 1932). Raised
by a gain g, the first to get there is the highest crossing of the positive real axis, not the
highest magnitude: most peaks arrive out of step. Between two lines the curve is taken as
straight, so lines must lie closer than the loop's delay turns them: see `lines_enough`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

MOST_TURN_DEG = 20.0
"""Degrees between two lines: a chord over so many lies 0.13 dB inside of the arc. MATH."""

SILENT_DB = 200.0
"""dB. A loop that never comes in step has more margin than this."""


@dataclass(frozen=True, slots=True)
class Ring:
    """A frequency at which a loop would ring, and by how much it may be raised until then.

    `margin_db` below 0: it rings already, unless it is switched off.
    """

    frequency_hz: float
    margin_db: float


@dataclass(frozen=True, slots=True, eq=False)
class Crossings:
    """Where curves (m, n) cross the positive real axis: which curve, at which line, how far out.

    `line` is the line before the crossing, `part` how far it lies on the way to the next (0 to
    1), `size` the real number there.
    """

    curve: NDArray[np.intp]
    line: NDArray[np.intp]
    part: Floats
    size: Floats

    def hz(self, frequency_hz: Floats) -> Floats:
        """Their frequencies, between those of the lines."""
        before, after = frequency_hz[self.line], frequency_hz[self.line + 1]
        return before + self.part * (after - before)


def crossings(response: Complex) -> Crossings:
    """All crossings of curves (m, n)."""
    imag, real = response.imag, response.real
    below = imag < 0
    curve, line = np.nonzero(below[:, 1:] != below[:, :-1])
    left, right = imag[curve, line], imag[curve, line + 1]
    part = left / (left - right)
    before = real[curve, line]
    size = before + part * (real[curve, line + 1] - before)
    out = size > 0
    return Crossings(curve[out], line[out], part[out], size[out])


def gain_before_feedback_db(response: ArrayLike) -> Floats:
    """By how much each loop may be raised until it rings, dB, (m,).

    Parameters
    ----------
    response : (m, n) or (n,) complex
        Loops over evenly spaced frequencies, as they are set now. A loop that never comes in
        step gets 200 dB.

    Raises
    ------
    ValueError
        In words: no lines, or no numbers.
    """
    loops = checked(response)
    found = crossings(loops)
    highest = np.zeros(len(loops))
    np.maximum.at(highest, found.curve, found.size)
    return -20 * np.log10(np.maximum(highest, 10 ** (-SILENT_DB / 20)))


def rings_of(
    frequency_hz: Floats,
    response: ArrayLike,
    *,
    believed: NDArray[np.bool_] | None = None,
    within_db: float = 12.0,
    most: int = 24,
) -> tuple[Ring, ...]:
    """The frequencies of one loop (n,) that would ring, in the order in which they would.

    Parameters
    ----------
    frequency_hz : (n,)
        Evenly spaced, rising.
    believed : (n,) bool, optional
        False where the measurement can't be believed: nothing is said there.
    within_db : float
        So far behind the first ring the list ends.
    most : int
        And it is no longer than this.
    """
    loops = checked(response)
    found = crossings(loops[:1])
    size, hz = found.size, found.hz(frequency_hz)
    if believed is not None:
        kept = believed[found.line] & believed[found.line + 1]
        size, hz = size[kept], hz[kept]
    if not len(size):
        return ()
    margin = -20 * np.log10(size)
    order = np.argsort(margin, kind="stable")[:most]
    return tuple(
        Ring(float(hz[at]), float(margin[at]))
        for at in order
        if margin[at] <= margin[order[0]] + within_db
    )


def lines_enough(frequency_hz: Floats, delay_s: float) -> bool:
    """Whether lines lie close enough for a loop of that delay to be judged between them."""
    spacing = float(frequency_hz[1] - frequency_hz[0])
    return 360 * spacing * delay_s <= MOST_TURN_DEG


def regenerated_db(margin_db: float) -> float:
    """How much a loop lifts its own ringing frequency at a margin above 0: 1 / (1 - L).

    3 dB below the ring it stands 10.7 dB out of the rest, 6 dB below 6.0 dB: that is what the
    6 dB of common practice buy.
    """
    if margin_db <= 0:
        raise ValueError("at no margin the loop rings: nothing is finite there")
    return float(-20 * np.log10(1 - 10 ** (-margin_db / 20)))


def checked(response: ArrayLike) -> Complex:
    """Loops as (m, n) complex numbers. Raises ValueError in words."""
    loops = np.atleast_2d(np.asarray(response, dtype=np.complex128))
    if loops.ndim != 2 or loops.shape[1] < 2:
        raise ValueError("a loop needs two lines at least")
    if not np.isfinite(loops).all():
        raise ValueError("a loop's response holds no numbers in places")
    return loops
