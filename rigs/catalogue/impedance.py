"""Impedance curves: what can be one, what it says, and how people type one.

A curve is stored as a plain mapping of lists: `frequency_hz`, `magnitude_ohm`, `phase_deg`
(empty where nobody measured the phase).
"""

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

from rigs.catalogue.numbers import are_numbers

LOWEST_HZ, HIGHEST_HZ = 1.0, 100_000.0
LEAST_OHM, MOST_OHM = 0.1, 10_000.0
MOST_POINTS = 2000


@dataclass(frozen=True, slots=True)
class Curve:
    """Impedance over rising frequency; `phase_deg` has as many values or none at all."""

    frequency_hz: tuple[float, ...]
    magnitude_ohm: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()

    @classmethod
    def from_plain(cls, stored: dict[str, Any]) -> "Curve":
        """The curve that is stored; `curve_fault` says whether it can be one."""
        return cls(
            *(
                tuple(float(value) for value in stored.get(name, ()))
                for name in ("frequency_hz", "magnitude_ohm", "phase_deg")
            )
        )

    def to_plain(self) -> dict[str, list[float]]:
        """As it is stored."""
        return {name: list(values) for name, values in asdict(self).items()}

    def points(self) -> list[tuple[float, float, float | None]]:
        """Hz, ohm and degrees (None where unknown) of each point."""
        phases: Sequence[float | None] = self.phase_deg or [None] * len(self.frequency_hz)
        return list(zip(self.frequency_hz, self.magnitude_ohm, phases, strict=True))

    def at(self, hz: float) -> float:
        """Magnitude in ohm: ln |Z| goes straight over ln f between points, stays beyond them."""
        if hz <= self.frequency_hz[0]:
            return self.magnitude_ohm[0]
        for (f1, f2), (z1, z2) in zip(
            pairwise(self.frequency_hz), pairwise(self.magnitude_ohm), strict=True
        ):
            if hz <= f2:
                share = math.log(hz / f1) / math.log(f2 / f1)
                return z1 * (z2 / z1) ** share
        return self.magnitude_ohm[-1]

    def minimum(
        self, low_hz: float | None = None, high_hz: float | None = None
    ) -> tuple[float, float]:
        """Frequency and ohm of the least impedance, within a band where the curve reaches it."""
        low = max(low_hz or 0.0, self.frequency_hz[0])
        high = min(high_hz or math.inf, self.frequency_hz[-1])
        if low > high:  # the curve lies beside the band: its own least, better than none
            low, high = self.frequency_hz[0], self.frequency_hz[-1]
        inside = [(f, ohm) for f, ohm, _ in self.points() if low < f < high]
        return min((low, self.at(low)), *inside, (high, self.at(high)), key=lambda point: point[1])


def value_fault(hz: float, ohm: float, degrees: float | None) -> str:
    """What cannot be about one point; "" if nothing."""
    if not LOWEST_HZ <= hz <= HIGHEST_HZ:
        return f"a frequency of {hz:g} Hz is not believable; it lies between 1 and 100000 Hz"
    if not ohm > 0:
        return f"an impedance of {ohm:g} ohm cannot be; it lies above zero"
    if not LEAST_OHM <= ohm <= MOST_OHM:
        return f"an impedance of {ohm:g} ohm is not believable; it lies between 0.1 and 10000 ohm"
    if degrees is not None and not -90 <= degrees <= 90:
        return f"a phase of {degrees:g} degrees cannot be; it lies between -90 and 90"
    return ""


def curve_fault(stored: object) -> str:
    """Say what is wrong with a stored curve; "" if nothing is."""
    lists = _lists(stored)
    if lists is None:
        return "A curve has three lists of numbers: frequency_hz, magnitude_ohm, phase_deg."
    frequencies, magnitudes, phases = lists
    count = len(frequencies)
    if count < 2 or count > MOST_POINTS:
        return f"A curve has between 2 and {MOST_POINTS} points; this one has {count}."
    if len(magnitudes) != count or len(phases) not in (0, count):
        return "A curve has one impedance, and one phase or none at all, for each frequency."
    for number, (hz, ohm, degrees) in enumerate(Curve(*map(tuple, lists)).points(), start=1):
        fault = value_fault(hz, ohm, degrees)
        if fault:
            return f"Point {number}: {fault}."
    if any(after <= before for before, after in pairwise(frequencies)):
        return "The frequencies of a curve must rise from point to point."
    return ""


def _lists(stored: object) -> list[list[float]] | None:
    """The three lists of a stored curve, or None if they are no lists of finite numbers."""
    if not isinstance(stored, dict) or set(stored) - set(Curve.__slots__):
        return None
    lists = [stored.get(name, []) for name in ("frequency_hz", "magnitude_ohm", "phase_deg")]
    return lists if all(map(are_numbers, lists)) else None
