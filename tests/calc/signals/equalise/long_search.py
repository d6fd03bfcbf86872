"""The best that a long search finds for each room, kept in `long_search.json`.

    python -m tests.calc.signals.equalise.long_search

From the best of ten even and random starts, and from what the product answered on that day, it
hops: it throws one to three peaks anywhere, refines, and keeps what is better. It takes about
twenty minutes. The residuals are root mean squares in dB.
"""

import json
from pathlib import Path

import numpy as np

from calc.signals.equalise.grow import grown_and_pruned
from calc.signals.equalise.peaks import Floats, level_db
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.refine import refined
from tests.calc.signals.equalise import rooms

HOPS = 2500
STARTS = 10
KEPT = Path(__file__).with_suffix(".json")


def thrown(problem: Problem, rng: np.random.Generator, count: int) -> Floats:
    """Peaks anywhere within the bounds."""
    return rng.uniform(problem.least, problem.most, (count, 3)) * [1, 0.3, 1]


def hopped(problem: Problem, peaks: Floats, rng: np.random.Generator, hops: int) -> Floats:
    """The best of so many hops from a start."""
    best, cost = peaks, problem.cost_of(peaks)
    for _ in range(hops):
        trial = best.copy()
        some = rng.choice(len(best), rng.integers(1, 4), replace=False)
        trial[some] = thrown(problem, rng, len(some))
        trial = refined(problem, trial, rounds=60)
        if (found := problem.cost_of(trial)) < cost:
            best, cost = trial, found
    return refined(problem, best, rounds=300, enough=1e-9)


def best_residual_db(room: int) -> float:
    """The least residual found for a room."""
    problem, rng = rooms.problem(room), np.random.default_rng([rooms.SEED, room, 1])
    starts = [rooms.spread_evenly(problem, rooms.FILTERS)]
    starts += [thrown(problem, rng, rooms.FILTERS) for _ in range(STARTS - 1)]
    ours = grown_and_pruned(problem, rooms.FILTERS)
    tried = [refined(problem, start, rounds=200) for start in starts]
    ends = [hopped(problem, start, rng, HOPS) for start in (ours, min(tried, key=problem.cost_of))]
    return min(problem.residual_db(level_db(problem.place, end)) for end in ends)


if __name__ == "__main__":
    found = []
    for room in range(rooms.ROOMS):
        found.append(round(best_residual_db(room), 5))
        print(room, found[-1], flush=True)
    KEPT.write_text(json.dumps({"seed": rooms.SEED, "residual_db": found}, indent=1) + "\n")
