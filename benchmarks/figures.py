"""The parts of a benchmark: figures, the list of who measures what, and fair timing."""

import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

RUNS = 5


@dataclass(frozen=True)
class Figure:
    """One line of the report.

    A ratio above 1 means that ours is better (faster, smaller) than `reference`, measured in
    the same run on the same work. A figure that could not be measured has no value and says
    why in `note`.
    """

    name: str
    value: float | None
    unit: str
    ratio: float | None = None
    reference: str = ""
    note: str = ""


Benchmark = Callable[[], Iterator[Figure]]


@dataclass(frozen=True)
class Entry:
    """A benchmark with the names it promises, all starting with its prefix and a dot."""

    names: tuple[str, ...]
    measure: Benchmark


REGISTRY: list[Entry] = []


def benchmark(*names: str) -> Callable[[Benchmark], Benchmark]:
    """Register a generator of figures; `names` are the full names it yields."""

    def register(measure: Benchmark) -> Benchmark:
        REGISTRY.append(Entry(names, measure))
        return measure

    return register


def median_seconds(work: Callable[[], object], runs: int = RUNS) -> float:
    """Median time of at least five runs, after one warm-up."""
    work()
    times = []
    for _ in range(max(runs, RUNS)):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def paired_medians(
    ours: Callable[[], object], reference: Callable[[], object], runs: int = RUNS
) -> tuple[float, float]:
    """Medians in seconds of both, run in turn so that a busy moment hits both alike."""
    ours()
    reference()
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(max(runs, RUNS)):
        for work, kept in zip((ours, reference), times, strict=True):
            start = time.perf_counter()
            work()
            kept.append(time.perf_counter() - start)
    return statistics.median(times[0]), statistics.median(times[1])
