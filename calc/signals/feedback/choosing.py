"""Which notches raise the margin most, and how shallow they may be for it.

Only where loops are in step can they ring, so that only there a notch is weighed, by |H|^2 of a
peak in closed form. As a notch turns the phase around it the places move: after each one they are
found again, with the true response, on the lines that can matter (`near`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from calc.signals.dial_in.dials import closest
from calc.signals.feedback.crossings import Complex, Floats
from calc.signals.feedback.near import Near, hz_of, scaled_of
from calc.signals.feedback.rings import gain_before_feedback_db
from calc.signals.response import filters_response
from calc.system import Dial, Filter

WITHIN_DB = 9.0
"""dB behind the first ring: what lies further back is not looked at until notches reach it."""

CLOSE_DB = 3.0
"""dB. Nearer to the end of that the lines are picked anew."""

BETWEEN_DB = 1.0
"""dB below what was reached that are seen when notches are placed again."""

WEIGHED_DB = 5.0
"""dB behind the first ring: places further back weigh less than a thousandth of it."""

MIDDLES = 8
"""So many of the worst places are weighed as a notch's middle, and the middles between them."""

ANY_PITCH = Dial()
SPARED_DB = 0.1
"""dB of margin that shallower cuts may cost, all together. Own choice."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What a notch may be: cuts in dB (below 0), Qs, its range in Hz, and the filters' clock."""

    gains_db: tuple[float, ...]
    qs: tuple[float, ...]
    low_hz: float
    high_hz: float
    sampling_hz: float | None = None
    pitch: Dial = ANY_PITCH


def chosen_notches(
    frequency_hz: Floats, loops: Complex, choices: Choices, count: int
) -> tuple[Filter, ...]:
    """At most `count` notches for all loops (m, n) together, in the order of placing.

    The loop with the least margin decides. Fewer where more of them would lower it again.
    """
    near = Near.of(frequency_hz, loops, WITHIN_DB, choices.sampling_hz)
    found: list[Filter] = []
    reached = [near.worst()]
    while len(found) < count:
        part = _best(near, choices, found)
        if part is None:
            break
        found.append(part)
        near = near.with_notch(part)
        if near.worst() < near.floor * 10 ** (CLOSE_DB / 20):
            now = notched(frequency_hz, loops, found, choices.sampling_hz)
            near = Near.of(frequency_hz, now, WITHIN_DB, choices.sampling_hz)
        reached.append(near.worst())
    kept = found[: int(np.argmin(reached))]
    return _placed_again(frequency_hz, loops, choices, kept, min(reached))


def _placed_again(
    frequency_hz: Floats,
    loops: Complex,
    choices: Choices,
    notches: Sequence[Filter],
    reached: float,
) -> tuple[Filter, ...]:
    """Each taken out once and placed anew between the others: the first did not know of them."""
    floor = reached * 10 ** (-BETWEEN_DB / 20)
    near = Near.above(frequency_hz, loops, floor, choices.sampling_hz)
    for part in notches:
        near = near.with_notch(part)
    found = list(notches)
    for at, part in enumerate(notches):
        without = near.without_notch(part)
        other = _best(without, choices, [*found[:at], *found[at + 1 :]])
        if other is not None:
            tried = without.with_notch(other)
            if tried.worst() < near.worst():
                found[at], near = other, tried
    return tuple(found)


def spared(
    frequency_hz: Floats, loops: Complex, choices: Choices, notches: Sequence[Filter]
) -> tuple[Filter, ...]:
    """The same notches, each no deeper than the margin needs, and none that buys nothing."""
    done = notched(frequency_hz, loops, notches, choices.sampling_hz)
    most = 10 ** ((SPARED_DB - margin_db(done)) / 20)
    near = Near.above(frequency_hz, loops, most, choices.sampling_hz)
    for part in notches:
        near = near.with_notch(part)
    found: list[Filter] = []
    for part in reversed(notches):
        without = near.without_notch(part)
        near = without
        if without.worst() > most:
            part, near = _shallowest(without, part, choices, most)
            found.insert(0, part)
    return tuple(found)


def _shallowest(near: Near, part: Filter, choices: Choices, most: float) -> tuple[Filter, Near]:
    """The least of its cuts with which no loop comes beyond a level; its own if none."""
    for gain_db in sorted(choices.gains_db, reverse=True):
        if gain_db > part.gain_db:
            tried = replace(part, gain_db=gain_db)
            after = near.with_notch(tried)
            if after.worst() <= most:
                return tried, after
    return part, near.with_notch(part)


def _best(near: Near, choices: Choices, used: Sequence[Filter]) -> Filter | None:
    """The notch that would leave least if it turned no phase."""
    place, size = near.rings()
    if not len(size):
        return None
    share = size / size.max()
    close = share > 10 ** (-WEIGHED_DB / 20)
    place, share = place[close], share[close]
    middles = _middles(place, share, choices, {part.frequency_hz for part in used})
    trials = [(hz, q, db) for hz in middles for q in choices.qs for db in choices.gains_db]
    if not trials:
        return None
    table = np.array(trials)
    at = scaled_of(table[:, 0], choices.sampling_hz)
    power = share * share * cut(place, at[:, None], table[:, 1:2], table[:, 2:])
    cubed = power * power * power
    # The sixth power: the worst rules, but those just behind it are seen.
    hz, q, db = trials[int((cubed * cubed).sum(axis=1).argmin())]
    return Filter("peak", hz, gain_db=db, q=q)


def _middles(place: Floats, size: Floats, choices: Choices, used: set[float]) -> list[float]:
    """The worst places themselves, and the middles between neighbours among them, as set."""
    worst = np.sort(place[np.argsort(-size)[:MIDDLES]])
    both = np.concatenate([worst, np.sqrt(worst[1:] * worst[:-1])])
    middles = {closest(choices.pitch, float(hz)) for hz in hz_of(both, choices.sampling_hz)}
    return sorted(hz for hz in middles - used if choices.low_hz <= hz <= choices.high_hz)


def cut(scaled: Floats, middle: Floats, q: Floats, gain_db: Floats) -> Floats:
    """Power of peaks at scaled frequencies: |1 - x^2 + j x A/Q|^2 / |1 - x^2 + j x / (A Q)|^2."""
    x = scaled / middle
    squared = x * x
    flat = (1 - squared) ** 2
    swing = 10 ** (gain_db / 20)
    across = squared / (q * q)
    power: Floats = (flat + across * swing) / (flat + across / swing)
    return power


def margin_db(loops: Complex) -> float:
    """That of the loop with the least."""
    return float(gain_before_feedback_db(loops).min())


def notched(
    frequency_hz: Floats, loops: Complex, notches: Sequence[Filter], sampling_hz: float | None
) -> Complex:
    """Loops with notches in them."""
    return loops * filters_response(list(notches), frequency_hz, sampling_hz)


def q_of(octaves: float) -> float:
    """Q of a peak that is so wide between its half-gain edges: 1 / (2 sinh(ln 2 / 2 x octaves))."""
    return 1 / (2 * math.sinh(math.log(2) / 2 * octaves))
