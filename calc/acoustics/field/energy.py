"""Band levels of all sources at all points: what adds in phase, what by energy, in what chunks."""

import math
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.field.kernel import Medium, coherent_field, energy_field
from calc.acoustics.field.scratch import SCRATCH
from calc.acoustics.field.source import PointSource, Stack, stacked
from calc.system import Surroundings

CELLS = 4000
"""Sources x points of one block. Three such blocks of nine lines stay in a core's cache."""

CELLS_OF_A_THREAD = 12_000
"""The same where threads share the work: longer steps, fewer waits for the interpreter."""

SOURCES = 48
LEAST_POINTS = 64
THREADS_FROM_LINES = 20_000_000
MOST_THREADS = 4
NEPER_DB = 20 / math.log(10)

Floats = NDArray[np.float64]


def band_energy(
    sources: Sequence[PointSource],
    points: Floats,
    air: Surroundings,
    coherent_below_hz: float,
    numbers: range | None = None,
) -> Floats:
    """Energy in each band at each point, (points, bands), in (20 uPa)^2.

    Parameters
    ----------
    sources : sequence of PointSource
        Their tables and gains fit `numbers`.
    points : (n, 3)
        In m.
    air : Surroundings
    coherent_below_hz : float
        In bands whose middle lies below, all sources add in phase; above only those of one
        group, and groups add by energy. 0: groups alone decide.
    numbers : range, optional
        The bands; all computed ones if left out.
    """
    numbers = bands.band_numbers() if numbers is None else numbers
    energy = np.zeros((len(numbers), len(points)))
    if not sources or not len(points):
        return energy.T
    sums = [
        found
        for low, high, groups in _runs_of_bands(sources, numbers, coherent_below_hz)
        for found in _sums(groups, numbers, slice(low, high), air)
    ]
    widest = max((len(block) for found in sums for block in found.blocks), default=1)
    threads = _threads(len(sources) * len(points) * len(numbers) * bands.LINES_PER_BAND)
    size = max(LEAST_POINTS, (CELLS if threads == 1 else CELLS_OF_A_THREAD) // widest)

    def work(first: int) -> None:
        chunk = points[first : first + size]
        for found in sums:
            energy[found.span, first : first + size] += found.energy(chunk)

    _run(work, range(0, len(points), size), threads)
    return energy.T


@dataclass(frozen=True, slots=True)
class _Sum:
    """Sources that are summed over a run of bands, in phase or by energy, block by block."""

    blocks: tuple[Stack, ...]
    medium: Medium
    span: slice
    in_phase: bool

    def energy(self, points: Floats) -> NDArray[np.float32]:
        """Energy at some points, (bands, points)."""
        if not self.in_phase:
            return _sum_of(energy_field(block, points, self.medium) for block in self.blocks)
        shape = (len(self.medium.lines_hz), len(points))
        field = SCRATCH.array("field", shape, np.complex64)
        part = SCRATCH.array("part", shape, np.complex64)
        coherent_field(self.blocks[0], points, self.medium, out=field)
        for block in self.blocks[1:]:
            field += coherent_field(block, points, self.medium, out=part)
        squares = np.square(field.real, out=SCRATCH.array("squares", shape, np.float32))
        squares += np.square(field.imag, out=SCRATCH.array("other squares", shape, np.float32))
        return squares.reshape(-1, bands.LINES_PER_BAND, len(points)).sum(axis=1)


def _runs_of_bands(
    sources: Sequence[PointSource], numbers: range, coherent_below_hz: float
) -> list[tuple[int, int, list[list[PointSource]]]]:
    """Runs of bands (low, high), each with the groups that add in phase there."""
    middles = np.array([bands.exact_hz(number) for number in numbers])
    border = int((middles < coherent_below_hz).sum())
    groups: dict[str, list[PointSource]] = {}
    for source in sources:
        groups.setdefault(source.group, []).append(source)
    runs = [(0, border, [list(sources)]), (border, len(numbers), list(groups.values()))]
    return [run for run in runs if run[0] < run[1]]


def _sums(
    groups: list[list[PointSource]], numbers: range, span: slice, air: Surroundings
) -> list[_Sum]:
    """Groups in a run of bands; those of one sounding member need no phase and go together."""
    lines = slice(span.start * bands.LINES_PER_BAND, span.stop * bands.LINES_PER_BAND)
    middles = np.array([bands.exact_hz(number) for number in numbers[span]])
    medium = Medium(
        bands.lines_of(numbers)[lines],
        (loss_db_per_m(middles, air) / NEPER_DB).astype(np.float32),
        speed_of_sound(air.temperature_c),
    )
    sounding = [[s for s in group if np.any(s.gain[lines])] for group in groups]
    alone = [group[0] for group in sounding if len(group) == 1]
    found = [(group, True) for group in sounding if len(group) > 1]
    found += [(alone, False)] if alone else []
    return [
        _Sum(tuple(_blocks(stacked(group, span, lines))), medium, span, in_phase)
        for group, in_phase in found
    ]


def _blocks(stack: Stack) -> Iterator[Stack]:
    """A stack in even parts of `SOURCES` at most."""
    step = math.ceil(len(stack) / math.ceil(len(stack) / SOURCES))
    for first in range(0, len(stack), step):
        yield stack.part(slice(first, first + step))


def _sum_of(parts: Iterable[NDArray[Any]]) -> NDArray[Any]:
    """The sum of arrays of one shape, in the first one's place."""
    rest = iter(parts)
    total = next(rest)
    for part in rest:
        total += part
    return total


def _threads(lines: int) -> int:
    """Several only where that pays."""
    if lines < THREADS_FROM_LINES or not hasattr(os, "sched_getaffinity"):
        return 1
    return min(len(os.sched_getaffinity(0)), MOST_THREADS)


def _run(work: Callable[[int], None], starts: range, threads: int) -> None:
    """All chunks."""
    if threads == 1:
        for first in starts:
            work(first)
        return
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(work, starts))
