"""Bounded Levenberg-Marquardt on the places, gains and widths of peaks."""

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dposv

from calc.signals.equalise.peaks import Floats, level_and_slopes
from calc.signals.equalise.problem import Problem

START, EASE, STIFFEN = 1e-2, 0.2, 4.0
STIFFEST = 1e8


def refined(problem: Problem, peaks: Floats, rounds: int = 40, enough: float = 1e-4) -> Floats:
    """Peaks (peaks, 3) moved downhill within the bounds.

    Stops after so many rounds, or when a round gains less than the share `enough` of the cost. A
    variable that lies on its bound and wants out waits there for that round.
    """
    best = problem.within(peaks)
    if not len(best):
        return best
    cost, gradient, curve = _local(problem, best)
    damping = START
    for _ in range(rounds):
        free = _free(problem, best, gradient)
        if not free.any():
            break
        step = _step(gradient, curve, free, damping)
        trial = problem.within(best + step.reshape(best.shape))
        # Most trials are good ones: their slopes come in the same breath.
        found = _local(problem, trial)
        if found[0] < cost:
            gained, best = cost - found[0], trial
            cost, gradient, curve = found
            damping *= EASE
            if gained <= enough * cost:
                break
        else:
            damping *= STIFFEN
            if damping > STIFFEST:
                break
    return best


def _local(problem: Problem, peaks: Floats) -> tuple[float, Floats, Floats]:
    """Cost, its half gradient (3 peaks,) and half curvature (3 peaks, 3 peaks) by Gauss."""
    level, slopes = level_and_slopes(problem.place, peaks)
    flat = slopes.reshape(-1, len(problem.place))
    above = np.maximum(level - problem.ceiling_db, 0.0)
    power = problem.weight**2
    left = level - problem.wanted_db
    gradient = flat @ (power * left + problem.over * above)
    stiff = np.sqrt(power + problem.over * (above > 0))
    scaled = flat * stiff
    cost = float((power * left**2 + problem.over * above**2).sum())
    return cost, gradient, scaled @ scaled.T


def _free(problem: Problem, peaks: Floats, gradient: Floats) -> NDArray[np.bool_]:
    """Which variables may move: all but those on a bound that the slope pushes out of it."""
    downhill = -gradient.reshape(peaks.shape)
    stuck = (peaks <= problem.least) & (downhill < 0) | (peaks >= problem.most) & (downhill > 0)
    free: NDArray[np.bool_] = ~stuck.ravel()
    return free


def _step(gradient: Floats, curve: Floats, free: NDArray[np.bool_], damping: float) -> Floats:
    places = np.nonzero(free)[0]
    if len(places) == len(free):
        part, pull = curve.copy(), gradient
    else:
        part, pull = curve[np.ix_(places, places)], gradient[places]
    scale = part.diagonal()
    part.flat[:: len(places) + 1] += damping * (scale + 1e-9 * scale.max() + 1e-12)
    _, found, failed = dposv(part, -pull)
    step = np.zeros(len(free))
    if not failed:  # else the damping grows and it is tried again
        step[places] = found
    return step
