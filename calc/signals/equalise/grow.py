"""Where peaks are put: grown one by one where most is left, some too many, then pruned."""

import math

import numpy as np

from calc.signals.equalise.peaks import Floats, level_db
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.refine import refined

TOO_MANY = 4
"""So many more peaks are grown than there may be. Placement matters more than the optimiser."""

WIDTHS_Q = (0.5, 1.0, 2.0, 4.0, 8.0)
SHAPE_DB = 3.0
"""Gain at which a candidate's shape is taken; other gains are read off it in proportion."""


def grown_and_pruned(problem: Problem, count: int) -> Floats:
    """At most `count` peaks, (peaks, 3), refined.

    The bounds must be those of one peak, (3,).
    """
    peaks = np.empty((0, 3))
    shapes = _Shapes(problem)
    for _ in range(count + TOO_MANY):
        added = shapes.best(peaks)
        if added is None:
            break
        peaks = refined(problem, np.vstack([peaks, added]), rounds=5, enough=1e-2)
    peaks = refined(problem, peaks, rounds=20, enough=1e-3)
    while len(peaks) > count:
        peaks = _pruned(problem, peaks)
    return refined(problem, peaks, rounds=80, enough=1e-5)


class _Shapes:
    """Candidates: a peak at every place in some widths."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        low, high = problem.least[..., 2].min(), problem.most[..., 2].max()
        widths = np.unique(np.clip(np.log(WIDTHS_Q), low, high))
        inside = (problem.place >= problem.least[0]) & (problem.place <= problem.most[0])
        at, width = np.meshgrid(problem.place[inside], widths, indexing="ij")
        self.candidates = np.stack([at.ravel(), np.full(at.size, SHAPE_DB), width.ravel()], axis=1)
        self.shape = level_db(problem.place, self.candidates[:, None, :]) / SHAPE_DB
        self.size = self.shape**2 @ problem.weight**2 + 1e-9

    def best(self, peaks: Floats) -> Floats | None:
        """The candidate that takes most away from what the peaks leave; None if none helps."""
        if not len(self.candidates):
            return None
        problem = self.problem
        left = problem.wanted_db - level_db(problem.place, peaks)
        pull = self.shape @ (problem.weight**2 * left)
        gain = np.clip(pull / self.size, problem.least[1], problem.most[1])
        taken = 2 * gain * pull - gain**2 * self.size
        found = int(taken.argmax())
        if taken[found] <= 0:
            return None
        place, _, width = self.candidates[found]
        return np.array([place, gain[found], width])


def _pruned(problem: Problem, peaks: Floats) -> Floats:
    """Without the peak that is missed least once the others have moved a little."""
    costs = []
    kept = []
    for index in range(len(peaks)):
        rest = refined(problem, np.delete(peaks, index, axis=0), rounds=4, enough=1e-2)
        kept.append(rest)
        costs.append(problem.cost_of(rest))
    return refined(problem, kept[int(np.argmin(costs))], rounds=20, enough=1e-3)


def spread_evenly(problem: Problem, count: int) -> Floats:
    """Peaks without gain at equal distances: the plain start that searches are compared with."""
    at = np.linspace(problem.place[0], problem.place[-1], count + 2)[1:-1]
    return np.stack([at, np.zeros(count), np.full(count, math.log(2.0))], axis=1)


IDLE_SHARE = 0.02
"""1. A peak that lowers what is left by less than this is not worth the typing. Own choice."""


def without_idle(problem: Problem, peaks: Floats) -> Floats:
    """Without peaks that hardly anything is gained from, the others refined."""
    while len(peaks):
        fewer = _pruned(problem, peaks)
        before = problem.residual_db(level_db(problem.place, peaks))
        after = problem.residual_db(level_db(problem.place, fewer))
        if after > before * (1 + IDLE_SHARE) + 1e-3:
            break
        peaks = fewer
    return peaks
