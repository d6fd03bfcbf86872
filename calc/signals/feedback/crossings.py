"""Where Nyquist curves cross the positive real axis, between the lines.

A loop L closed upon itself, 1 / (1 - g L), becomes unstable at the gain g at which its curve g L
reaches +1. Between two lines the curve is taken as a spiral: level in dB and phase both run
straight, which is exact for a delay.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]

ROUNDING = 1e-9
REAL = 1e-12
"""1. A first or last line whose imaginary part is a smaller share lies on the axis."""


@dataclass(frozen=True, slots=True, eq=False)
class Crossings:
    """All crossings of m curves, each (k,): its curve, its line, and what stands there.

    `line` is where it lies in lines, with a fraction; `size` is |L| there. `falling` where the
    phase falls through 0 with rising frequency: those make a pole unstable as the gain is raised.
    The others bring one back.
    """

    row: Places
    line: Floats
    size: Floats
    falling: Bools

    def hz(self, frequency_hz: Floats) -> Floats:
        """Their frequencies, between those of the lines (n,)."""
        return np.interp(self.line, np.arange(len(frequency_hz)), frequency_hz)

    def between(self, believed: Bools) -> Bools:
        """Which of them lie between lines that are believed, (k,)."""
        near = np.floor(self.line).astype(np.intp)
        far = np.minimum(np.ceil(self.line).astype(np.intp), len(believed) - 1)
        kept: Bools = believed[near] & believed[far]
        return kept

    def only(self, kept: Bools) -> "Crossings":
        """Some of them."""
        return Crossings(self.row[kept], self.line[kept], self.size[kept], self.falling[kept])


def curves_of(response: ArrayLike) -> Complex:
    """Loops as complex rows (m, n).

    Raises
    ------
    ValueError
        There are no loops, fewer than two lines, a value is no number, or a loop is silent.
    """
    found = np.asarray(response)
    curves: Complex = np.atleast_2d(found.astype(np.complex128, copy=False))
    if curves.ndim != 2 or curves.size == 0:
        raise ValueError("there is no loop to look at: a loop has lines")
    if curves.shape[1] < 2:
        raise ValueError("a loop needs two lines at least: one says nothing about where it turns")
    if not np.isfinite(curves.sum()):
        raise ValueError("a loop holds values that are no numbers")
    for number, row in enumerate(curves, start=1):
        if not row[len(row) // 2] and not row.any():
            raise ValueError(
                f"a loop is silent (number {number}): nothing of what was played came back"
            )
    return curves


def crossings_of(curves: Complex) -> Crossings:
    """The crossings of the positive real axis of curves (m, n) as `curves_of` gives them."""
    flat, before, after = _turns(curves)
    kept = passes_right(before, after)
    return _found(curves, flat[kept], before[kept], after[kept])


def strongest_of(curves: Complex) -> Floats:
    """The highest |L| at a crossing of each curve (m,), 0 where it has none.

    As `crossings_of` says, but only those crossings are worked out whose lines reach beyond the
    highest chord.
    """
    flat, before, after = _turns(curves)
    chord = _chord(before, after)
    highest = np.zeros(len(curves))
    row = flat // curves.shape[1]
    np.maximum.at(highest, row, chord)
    # A crossing on the spiral lies between the sizes of its lines, on the chord's side or not.
    reach = np.maximum(before.real**2 + before.imag**2, after.real**2 + after.imag**2)
    # A chord that ends on the axis reaches just as far as its line, but for the last digit.
    kept = (chord > 0) & (reach * (1 + ROUNDING) >= (highest**2)[row])
    found = _found(curves, flat[kept], before[kept], after[kept])
    strongest = np.zeros(len(curves))
    np.maximum.at(strongest, found.row, found.size)
    return strongest


def _turns(curves: Complex) -> tuple[Places, Complex, Complex]:
    """Where curves pass the real axis: the line before, counted through all, and both values."""
    lines = curves.shape[1]
    above = (curves.imag > 0).ravel()
    changed = above[1:] != above[:-1]
    changed[lines - 1 :: lines] = False  # from the end of one curve to the next one's beginning
    flat = np.flatnonzero(changed)
    values = curves.reshape(-1)
    return flat, values[flat], values[flat + 1]


def _found(curves: Complex, flat: Places, before: Complex, after: Complex) -> Crossings:
    """Crossings from the lines around them, and those at the ends."""
    row, line = np.divmod(flat, curves.shape[1])
    share, size = on_the_axis(before, after)
    inner = Crossings(row, line + share, size, before.imag > after.imag)
    return _joined(inner, _at_ends(curves, row))


def _chord(before: Complex, after: Complex) -> Floats:
    """Where the straight line between two lines meets the real axis."""
    crossed = before.imag * after.real - before.real * after.imag
    met: Floats = crossed / (before.imag - after.imag)
    return met


def passes_right(before: Complex, after: Complex) -> Bools:
    """Whether the chord passes the origin on the side of the positive real numbers."""
    right: Bools = _chord(before, after) > 0
    return right


def on_the_axis(before: Complex, after: Complex) -> tuple[Floats, Floats]:
    """Share of the way between two lines, and |L|, where the phase passes 0."""
    start, end = np.angle(before), np.angle(after)
    share = np.divide(start, start - end, out=np.zeros(len(start)), where=start != end)
    near, far = np.abs(before), np.abs(after)
    size = np.power(near, 1 - share) * np.power(far, share)
    return share, size


def _at_ends(curves: Complex, crossed: Places) -> Crossings:
    """What is real and positive at the first and last line; of a curve never crossed, anywhere.

    There the curve meets its own mirror image at negative frequencies: at 0 Hz the phase falls
    through 0 where it goes on below it, at the last line where it came from above. A curve that
    never crosses may still lie on the axis, as one without any delay does.
    """
    found: list[tuple[int, int, float]] = []
    for row, curve in enumerate(curves):
        # Where rounding, or the line's own 0, makes a sign change it has been counted already.
        if _is_real(curve[0]) and curve[1].imag < 0 and not curve[0].imag > 0:
            found.append((row, 0, curve[0].real))
        if _is_real(curve[-1]) and curve[-2].imag > 0 and curve[-1].imag > 0:
            found.append((row, len(curve) - 1, curve[-1].real))
    met = {*crossed.tolist(), *(row for row, _, _ in found)}
    for row in set(range(len(curves))) - met:
        on_axis = np.flatnonzero((curves[row].imag == 0) & (curves[row].real > 0))
        found.extend((row, int(line), curves[row, line].real) for line in on_axis)
    rows, lines, sizes = zip(*found, strict=True) if found else ((), (), ())
    return Crossings(
        np.array(rows, dtype=np.intp),
        np.array(lines, dtype=np.float64),
        np.array(sizes, dtype=np.float64),
        np.ones(len(rows), dtype=bool),
    )


def _is_real(value: complex) -> bool:
    return value.real > 0 and abs(value.imag) <= REAL * value.real


def _joined(inner: Crossings, ends: Crossings) -> Crossings:
    if not len(ends.row):
        return inner
    return Crossings(
        np.concatenate([inner.row, ends.row]),
        np.concatenate([inner.line, ends.line]),
        np.concatenate([inner.size, ends.size]),
        np.concatenate([inner.falling, ends.falling]),
    )
