"""Which rack goes on which phase, so that the highest phase current is as low as can be."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOST_PLANS = 3**12
"""Up to so many plans all of them are tried: twelve racks on three phases."""

MOST_SWAPPED = 60
"""More loads than these are not swapped in pairs: there the emptiest phase is good enough."""

SAME_A = 1e-9


@dataclass(frozen=True, slots=True)
class PhasePlan:
    """`phases[i]` (from 0) of load i; `exact` False: found by a rule of thumb."""

    phases: tuple[int, ...]
    exact: bool


def best_plan(amps: Sequence[float], already_a: Sequence[float]) -> PhasePlan:
    """Spread loads over phases.

    Parameters
    ----------
    amps : sequence of float
        Current of each load, 0 or more.
    already_a : sequence of float
        Current that each phase carries already; one value for each phase.

    Returns
    -------
    PhasePlan
        The lowest highest phase current; among equals the lowest sum of the squares, then the
        first in order, so that the same loads always give the same plan. Where there are too
        many plans to try them all: the largest load first onto the emptiest phase, then single
        moves and swaps as long as they help.
    """
    phases = len(already_a)
    if not amps or phases == 1:
        return PhasePlan((0,) * len(amps), True)
    if len(amps) * math.log(phases) <= math.log(MOST_PLANS) + SAME_A:
        return PhasePlan(_by_trying_all(amps, already_a), True)
    return PhasePlan(_by_rule_of_thumb(amps, already_a), False)


def neutral_a(currents: Sequence[float]) -> float:
    """Vector sum of the phase currents' fundamentals, 120 degrees apart, A.

    Two phases are taken 120 degrees apart too, which gives more than opposite ones.
    """
    turns = np.exp(-2j * np.pi / 3 * np.arange(len(currents)))
    return float(abs(np.asarray(currents) @ turns))


def neutral_of_rectifiers_a(currents: Sequence[float]) -> float:
    """Neutral current when each phase's current comes in short pulses that never overlap, A.

    The squares add up: sqrt(3) times a phase's current for three equal ones. MATH.
    """
    return math.sqrt(sum(amps**2 for amps in currents))


def _by_trying_all(amps: Sequence[float], already_a: Sequence[float]) -> tuple[int, ...]:
    phases = len(already_a)
    sums: NDArray[np.float64] = np.asarray(already_a, dtype=np.float64)[None, :]
    for load in amps:
        sums = (sums[:, None, :] + load * np.eye(phases)[None, :, :]).reshape(-1, phases)
    highest = sums.max(axis=1)
    good = np.flatnonzero(highest <= highest.min() + SAME_A)
    squares = (sums[good] ** 2).sum(axis=1)
    number = int(good[np.flatnonzero(squares <= squares.min() + SAME_A)[0]])
    digits: list[int] = []
    for _ in amps:
        number, digit = divmod(number, phases)
        digits.append(digit)
    return tuple(reversed(digits))


def _by_rule_of_thumb(amps: Sequence[float], already_a: Sequence[float]) -> tuple[int, ...]:
    sums = list(already_a)
    plan = [0] * len(amps)
    for load in sorted(range(len(amps)), key=lambda i: (-amps[i], i)):
        plan[load] = min(range(len(sums)), key=lambda phase: (sums[phase], phase))
        sums[plan[load]] += amps[load]
    while _improve(plan, sums, amps):
        pass
    return tuple(plan)


def _improve(plan: list[int], sums: list[float], amps: Sequence[float]) -> bool:
    """Make the first move or swap that lowers the sum of squares; False if there is none."""
    for i, amps_i in enumerate(amps):
        for phase in range(len(sums)):
            if phase != plan[i] and sums[phase] + amps_i < sums[plan[i]] - SAME_A:
                _move(plan, sums, amps, i, phase)
                return True
        for j in range(i if len(amps) <= MOST_SWAPPED else 0):
            gap, difference = sums[plan[i]] - sums[plan[j]], amps_i - amps[j]
            if plan[i] != plan[j] and difference * (gap - difference) > SAME_A:
                first, second = plan[i], plan[j]
                _move(plan, sums, amps, i, second)
                _move(plan, sums, amps, j, first)
                return True
    return False


def _move(plan: list[int], sums: list[float], amps: Sequence[float], load: int, phase: int) -> None:
    sums[plan[load]] -= amps[load]
    sums[phase] += amps[load]
    plan[load] = phase
