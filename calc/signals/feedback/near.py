"""The lines of loops that can matter to their margin, and what notches make of them.

A cut lifts no line, so that only lines above the level that shall be reached can ever ring above
it: a small part of all. Notches are tried on that part, with their phase, as on the whole.
"""

from dataclasses import dataclass, replace

import numpy as np

from calc.signals.feedback.crossings import (
    Bools,
    Complex,
    Floats,
    crossings_of,
    on_the_axis,
    passes_right,
)
from calc.system import Filter


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """Lines of several loops in a row, (k,): each one's scaled frequency and value.

    `linked` (k - 1,): the next one is its neighbour in the same loop. Crossings below `floor`
    may be missing, those above it are all there.
    """

    scaled: Floats
    value: Complex
    linked: Bools
    floor: float
    sampling_hz: float | None

    @classmethod
    def of(cls, hz: Floats, loops: Complex, within_db: float, sampling_hz: float | None) -> "Near":
        """The lines of loops (m, n) that lie no more than so far behind the first crossing."""
        found = crossings_of(loops)
        first = float(found.size.max(initial=0.0))
        return cls.above(hz, loops, first * 10 ** (-within_db / 20), sampling_hz)

    @classmethod
    def above(cls, hz: Floats, loops: Complex, floor: float, sampling_hz: float | None) -> "Near":
        """The lines of loops (m, n) that lie above a level |L|."""
        loud = loops.real**2 + loops.imag**2 > floor * floor
        kept = loud.copy()
        kept[:, 1:] |= loud[:, :-1]
        kept[:, :-1] |= loud[:, 1:]
        flat = np.flatnonzero(kept)
        line = flat % loops.shape[1]
        linked = (np.diff(flat) == 1) & (line[1:] != 0)
        scaled = scaled_of(hz, sampling_hz)[line]
        return cls(scaled, loops.reshape(-1)[flat], linked, floor, sampling_hz)

    def with_notch(self, part: Filter) -> "Near":
        """With one more notch."""
        return replace(self, value=self.value * self.response(part))

    def without_notch(self, part: Filter) -> "Near":
        """With one that was put in taken out again."""
        return replace(self, value=self.value / self.response(part))

    def response(self, part: Filter) -> Complex:
        """What a peak does to the lines: (1 - x^2 + j x A/Q) / (1 - x^2 + j x / (A Q))."""
        x = self.scaled / scaled_of(np.array([part.frequency_hz]), self.sampling_hz)
        amplitude, q = 10 ** (part.gain_db / 40), part.q or 1.0
        over, under = np.empty((2, len(x)), dtype=np.complex128)
        over.real = under.real = 1 - x * x
        over.imag, under.imag = x * (amplitude / q), x / (amplitude * q)
        found: Complex = over / under
        return found

    def rings(self) -> tuple[Floats, Floats]:
        """Where they cross the positive real axis: scaled frequency, and |L|, each (j,)."""
        above = self.value.imag > 0
        at = np.flatnonzero((above[1:] != above[:-1]) & self.linked)
        before, after = self.value[at], self.value[at + 1]
        right = passes_right(before, after)
        at, before, after = at[right], before[right], after[right]
        share, size = on_the_axis(before, after)
        start = self.scaled[at]
        return start + share * (self.scaled[at + 1] - start), size

    def worst(self) -> float:
        """The highest |L| of all crossings; the floor where none is left above it."""
        return float(self.rings()[1].max(initial=self.floor))


def scaled_of(hz: Floats, sampling_hz: float | None) -> Floats:
    """Frequency as the bilinear transform sees it; as it is without a sampling rate."""
    if sampling_hz is None:
        return hz
    return np.tan(np.pi * np.minimum(hz, 0.499 * sampling_hz) / sampling_hz)


def hz_of(scaled: Floats, sampling_hz: float | None) -> Floats:
    """The frequency of such a scaled one."""
    if sampling_hz is None:
        return scaled
    return np.arctan(scaled) * sampling_hz / np.pi
