"""Where peaks are put: grown one by one where most is left, some too many, then pruned."""

import numpy as np

from calc.signals.equalise.peaks import Floats, level_db
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.refine import refined

TOO_MANY = 4
"""So many more peaks are grown than there may be. Placement matters more than the optimiser."""

IDLE_SHARE, IDLE_DB = 0.02, 0.03
"""A peak that lowers what is left by less than both together is not worth the typing. Own."""

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
        peaks = refined(problem, np.vstack([peaks, added]), rounds=1)
    peaks = refined(problem, peaks, rounds=6, enough=1e-2)
    while len(peaks) > count:
        peaks = _pruned(problem, peaks)
    return refined(problem, peaks, rounds=25, enough=1e-3)


class _Shapes:
    """Candidates: a peak at every other place in some widths."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        low, high = problem.least[..., 2].min(), problem.most[..., 2].max()
        widths = np.unique(np.clip(np.log(WIDTHS_Q), low, high))
        inside = (problem.place >= problem.least[0]) & (problem.place <= problem.most[0])
        at, width = np.meshgrid(problem.place[inside][::2], widths, indexing="ij")
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
    """Without the peak that is missed least, the others moved a little."""
    shapes = level_db(problem.place, peaks[:, None, :])
    missed = problem.cost(shapes.sum(axis=0) - shapes)
    fewer = np.delete(peaks, int(missed.argmin()), axis=0)
    return refined(problem, fewer, rounds=4, enough=1e-2)


def without_idle(problem: Problem, peaks: Floats) -> Floats:
    """Without peaks that hardly anything is gained from, the others refined."""
    while len(peaks):
        fewer = _pruned(problem, peaks)
        before = problem.residual_db(level_db(problem.place, peaks))
        after = problem.residual_db(level_db(problem.place, fewer))
        if after > before * (1 + IDLE_SHARE) + IDLE_DB:
            break
        peaks = fewer
    return peaks
