"""Poles of the low passes that all high and low passes are made of.

Each is for a corner of 1 rad/s: -3 dB for Butterworth and Bessel, -6 dB for Linkwitz-Riley.
Formulas: docs/processing.md.
"""

import cmath
import math
from functools import cache

import numpy as np

from calc.system import BesselCorner, FilterFamily

MOST_ORDER = 8


@cache
def low_pass_poles(
    family: FilterFamily, order: int, corner: BesselCorner = "unknown"
) -> tuple[complex, ...]:
    """Poles of a low pass, those of a pair side by side, a real one alone.

    Parameters
    ----------
    order : int
        1 to 8; Linkwitz-Riley even only.
    corner : str
        What a Bessel's corner means; unknown counts as -3 dB.

    Raises
    ------
    ValueError
        There is no such low pass.
    """
    if not 1 <= order <= MOST_ORDER:
        raise ValueError(f"a high or low pass has an order of 1 to {MOST_ORDER}, not {order}")
    if family == "Butterworth":
        return _butterworth(order)
    if family == "Bessel":
        return _bessel(order, corner)
    if family == "Linkwitz-Riley" and order % 2 == 0:
        return 2 * _butterworth(order // 2)
    if family == "Linkwitz-Riley":
        raise ValueError(f"a Linkwitz-Riley pass has an even order, not {order}")
    raise ValueError("a high or low pass needs its family")


@cache
def low_pass_sections(
    family: FilterFamily, order: int, corner: BesselCorner = "unknown"
) -> tuple[tuple[float, float], ...]:
    """Its factors: (w0 squared, 2 x damping x w0) of a pole pair, (0, w0) of a single real pole.

    Two equal real poles, as Linkwitz-Riley has them, make one pair.
    """
    poles = low_pass_poles(family, order, corner)
    above = [p for p in poles if p.imag > 1e-9]
    real = [-p.real for p in poles if abs(p.imag) <= 1e-9]
    found = [(abs(p) ** 2, -2 * p.real) for p in above]
    while len(real) > 1:
        one, other = real.pop(), real.pop()
        found.append((one * other, one + other))
    return tuple(found + [(0.0, single) for single in real])


def _butterworth(order: int) -> tuple[complex, ...]:
    """On the unit circle, evenly, in the left half (a real one is exactly real)."""
    turns = [math.pi * (2 * k + order + 1) / (2 * order) for k in range(order)]
    poles = [cmath.exp(1j * turn) for turn in turns]
    return tuple(complex(p.real, 0.0) if abs(p.imag) < 1e-9 else p for p in poles)


def _bessel(order: int, corner: BesselCorner) -> tuple[complex, ...]:
    """Roots of the reverse Bessel polynomial, scaled to the corner."""
    terms = [bessel_term(order, k) for k in range(order + 1)]
    roots = [complex(root) for root in np.roots(terms[::-1])]
    scale = terms[0] ** (1 / order) if corner == "phase" else _bessel_3_db(terms)
    poles = [root / scale for root in roots]
    return tuple(complex(p.real, 0.0) if abs(p.imag) < 1e-6 else p for p in poles)


def bessel_term(order: int, power: int) -> float:
    """Coefficient of s^power in the reverse Bessel polynomial (handbook formula)."""
    over = math.factorial(2 * order - power)
    under = 2 ** (order - power) * math.factorial(power) * math.factorial(order - power)
    return over / under


def _bessel_3_db(terms: list[float]) -> float:
    """Where the low pass with unit delay has lost half of its power, rad/s, by halving."""
    low, high = 0.0, 2.0 * len(terms)
    for _ in range(80):
        middle = (low + high) / 2
        value = sum(term * (1j * middle) ** power for power, term in enumerate(terms))
        low, high = (middle, high) if abs(value) ** 2 < 2 * terms[0] ** 2 else (low, middle)
    return (low + high) / 2
