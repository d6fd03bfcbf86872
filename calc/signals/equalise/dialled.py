"""From a fit to settings: rounded dial by dial, the rest fitted again, and kept below the ceiling.

Frequencies are rounded first, then widths, then gains, so that each makes up for the rounding
before it.
"""

import numpy as np
from numpy.typing import NDArray

from calc.signals.equalise.peaks import Floats, hz_of, level_db, place_of
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.refine import refined
from calc.signals.equalise.settable import nearest, step_at
from calc.system import ProcessorAbilities

TOLERATED_DB = 0.05
"""dB above the ceiling that still counts as below it: no dial is so fine."""

PASSES = 3


def dialled(
    problem: Problem, peaks: Floats, abilities: ProcessorAbilities, sampling_hz: float | None
) -> Floats:
    """Peaks (peaks, 3) that the dials can be set to and that stay below the ceiling.

    `problem` has the bounds of one peak, (3,), or of each.
    """
    if not len(peaks):
        return peaks
    problem = problem.strict()
    peaks = refined(problem, peaks, rounds=30, enough=1e-3)
    least = np.broadcast_to(problem.least, peaks.shape).copy()
    most = np.broadcast_to(problem.most, peaks.shape).copy()
    for column, rounder in (
        (0, lambda p: place_of(nearest(abilities.filter_hz, hz_of(p, sampling_hz)), sampling_hz)),
        (2, lambda p: np.log(nearest(abilities.filter_q, np.exp(p)))),
    ):
        peaks = peaks.copy()
        peaks[:, column] = rounder(peaks[:, column])
        least[:, column] = most[:, column] = peaks[:, column]
        peaks = refined(problem.held(least, most), peaks, rounds=15, enough=1e-3)
    return settled(problem.held(least, most), peaks, abilities)


def settled(problem: Problem, peaks: Floats, abilities: ProcessorAbilities) -> Floats:
    """Gains rounded and tried a step up and down, none above the ceiling."""
    peaks = peaks.copy()
    peaks[:, 1] = nearest(abilities.filter_gain_db, peaks[:, 1])
    step = step_at(abilities.filter_gain_db, 1.0)
    for _ in range(PASSES):
        if not _stepped(problem, peaks, step):
            break
    _lowered(problem, peaks, step)
    return peaks


def _stepped(problem: Problem, peaks: Floats, step: float) -> bool:
    """Move each gain by a step where that helps, in place; whether any moved."""
    moved = False
    shapes = level_db(problem.place, peaks[:, None, :])
    whole = shapes.sum(axis=0)
    cost = float(problem.cost(whole))
    least = np.broadcast_to(problem.least, peaks.shape)[:, 1]
    most = np.broadcast_to(problem.most, peaks.shape)[:, 1]
    for index in range(len(peaks)):
        for way in (-step, step):
            trial = peaks[index].copy()
            trial[1] = round(trial[1] + way, 9)
            if not least[index] <= trial[1] <= most[index]:
                continue
            shape = level_db(problem.place, trial[None])
            found = float(problem.cost(whole - shapes[index] + shape))
            if found < cost - 1e-12:
                whole = whole - shapes[index] + shape
                peaks[index], shapes[index], cost, moved = trial, shape, found, True
                break
    return moved


def _lowered(problem: Problem, peaks: Floats, step: float) -> None:
    """Take steps off the lift that is most to blame until nothing stands above the ceiling."""
    while True:
        shapes = level_db(problem.place, peaks[:, None, :])
        over = shapes.sum(axis=0) - problem.ceiling_db
        worst = int(over.argmax())
        lifts: NDArray[np.float64] = np.where(peaks[:, 1] > 0, shapes[:, worst], -np.inf)
        blamed = int(lifts.argmax())
        if over[worst] <= TOLERATED_DB or lifts[blamed] <= 0:
            return
        peaks[blamed, 1] = round(max(0.0, peaks[blamed, 1] - step), 9)
