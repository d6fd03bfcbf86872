"""Every filter as second-order sections over its own frequency.

A section is (b0, b1, b2, a0, a1, a2): (b0 + b1 s + b2 s^2) / (a0 + a1 s + a2 s^2) with s = j
at the filter's frequency. It is analogue as it stands; `calc.signals.response` makes it digital
by evaluating it at a warped frequency, which is what the bilinear transform does. Peak, shelves,
notch and second-order all-pass are those of the Audio EQ Cookbook (R. Bristow-Johnson).
"""

import math
from functools import lru_cache

from calc.signals.prototypes import low_pass_sections
from calc.system import BesselCorner, Filter

Section = tuple[float, float, float, float, float, float]

PLAIN_Q = math.sqrt(0.5)
"""Q where nobody said one: a shelf's of slope S = 1. MATH."""


@lru_cache(maxsize=4096)
def sections_of(part: Filter, corner: BesselCorner = "unknown") -> tuple[Section, ...]:
    """The sections of a filter, to be multiplied.

    Raises
    ------
    ValueError
        There is no such filter: its family, order or Q is impossible.
    """
    if part.kind in ("high-pass", "low-pass"):
        return _passes(part, corner)
    q = PLAIN_Q if part.q is None else part.q
    if q <= 0:
        raise ValueError(f"a Q lies above 0, not at {q:g}")
    if part.kind == "all-pass":
        return (_all_pass(part.order, q),)
    if part.kind == "notch":
        return ((1.0, 0.0, 1.0, 1.0, 1 / q, 1.0),)
    amplitude = 10 ** (part.gain_db / 40)
    if part.kind == "peak":
        return ((1.0, amplitude / q, 1.0, 1.0, 1 / (amplitude * q), 1.0),)
    return (_low_shelf(amplitude, q) if part.kind == "low shelf" else _high_shelf(amplitude, q),)


def _passes(part: Filter, corner: BesselCorner) -> tuple[Section, ...]:
    """A low pass; a high pass is the same with s and 1/s exchanged."""
    found = []
    for squared, damped in low_pass_sections(part.family, part.order, corner):
        if squared:
            low = (squared, 0.0, 0.0, squared, damped, 1.0)
        else:
            low = _of_first_order((damped, 0.0), (damped, 1.0))
        high = (low[2], low[1], low[0], low[5], low[4], low[3])
        found.append(low if part.kind == "low-pass" else high)
    return tuple(found)


def _all_pass(order: int, q: float) -> Section:
    if order == 1:
        return _of_first_order((1.0, -1.0), (1.0, 1.0))
    if order == 2:
        return (1.0, -1 / q, 1.0, 1.0, 1 / q, 1.0)
    raise ValueError(f"an all-pass has order 1 or 2, not {order}")


def _of_first_order(over: tuple[float, float], under: tuple[float, float]) -> Section:
    """A first-order section, both sides times (1 + s): one form for all."""
    return (over[0], sum(over), over[1], under[0], sum(under), under[1])


def _low_shelf(amplitude: float, q: float) -> Section:
    middle = math.sqrt(amplitude) / q
    over = (amplitude * amplitude, amplitude * middle, amplitude)
    return (*over, 1.0, middle, amplitude)


def _high_shelf(amplitude: float, q: float) -> Section:
    middle = math.sqrt(amplitude) / q
    over = (amplitude, amplitude * middle, amplitude * amplitude)
    return (*over, amplitude, middle, 1.0)
