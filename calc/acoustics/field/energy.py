"""Band levels of all sources at all points: what adds in phase, what by energy, in what chunks."""

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.field.kernel import Medium, coherent_field, energy_field
from calc.acoustics.field.source import PointSource, Stack, stacked
from calc.system import Surroundings

CELLS = 4000
"""Sources x points of one block. Three such blocks of nine lines stay in a core's cache, and up
to 4096 the matrix library keeps to one thread."""

SOURCES = 48
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
    energy = np.zeros((len(points), len(numbers)))
    if not sources or not len(points):
        return energy
    parts = [
        part
        for low, high, groups in _parts(sources, numbers, coherent_below_hz)
        for part in _stacks(groups, numbers, slice(low, high), air)
    ]
    size = max(64, CELLS // min(max(len(stack) for stack, *_ in parts), SOURCES)) if parts else 1

    def work(first: int) -> None:
        chunk = points[first : first + size]
        for stack, medium, span, together in parts:
            energy[first : first + size, span] += _chunk(stack, medium, chunk, together).T

    _run(work, range(0, len(points), size), len(sources) * len(points) * len(numbers) * 3)
    return energy


def _parts(
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


def _stacks(
    groups: list[list[PointSource]], numbers: range, span: slice, air: Surroundings
) -> list[tuple[Stack, Medium, slice, bool]]:
    """Groups of a run of bands; those of one member each become one stack without phase."""
    lines = slice(span.start * bands.LINES_PER_BAND, span.stop * bands.LINES_PER_BAND)
    middles = np.array([bands.exact_hz(number) for number in numbers[span]])
    medium = Medium(
        bands.lines_of(numbers)[lines],
        (loss_db_per_m(middles, air) / NEPER_DB).astype(np.float32),
        speed_of_sound(air.temperature_c),
    )
    sounding = [[s for s in group if np.any(s.gain[lines])] for group in groups]
    alone = [group[0] for group in sounding if len(group) == 1]
    together = [(group, True) for group in sounding if len(group) > 1]
    return [
        (stacked(group, span, lines), medium, span, phase)
        for group, phase in [*together, *([(alone, False)] if alone else [])]
    ]


def _chunk(stack: Stack, medium: Medium, points: Floats, together: bool) -> Floats:
    """Energy of one stack at some points, (bands, points)."""
    step = math.ceil(len(stack) / math.ceil(len(stack) / SOURCES))
    blocks = [stack.part(slice(i, i + step)) for i in range(0, len(stack), step)]
    if not together:
        found: Floats = sum(energy_field(block, points, medium) for block in blocks)  # type: ignore[assignment]
        return found
    field = coherent_field(blocks[0], points, medium)
    for block in blocks[1:]:
        field += coherent_field(block, points, medium)
    energy = field.real.astype(np.float64) ** 2
    energy += field.imag.astype(np.float64) ** 2
    return energy.reshape(-1, bands.LINES_PER_BAND, len(points)).sum(axis=1)


def _run(work: Callable[[int], None], starts: range, lines: int) -> None:
    """All chunks, over several threads only where that pays."""
    threads = min(len(os.sched_getaffinity(0)), MOST_THREADS) if _pays(lines) else 1
    if threads == 1:
        for first in starts:
            work(first)
        return
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(work, starts))


def _pays(lines: int) -> bool:
    return lines >= THREADS_FROM_LINES and hasattr(os, "sched_getaffinity")
