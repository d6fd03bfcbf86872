"""Measuring against a plain float64 rfft of the same samples, and the fit against a long search.

The samples are 60 s of two channels at 48 kHz. The smaller a figure `..._x_rfft`, the better; its
ratio is rfft over ours.
"""

import json
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from benchmarks.figures import Figure, benchmark, paired_medians
from calc.signals.equalise.grow import grown_and_pruned
from calc.signals.equalise.peaks import level_db, place_of
from calc.signals.equalise.problem import Problem
from calc.signals.measuring.decay import decay_times
from calc.signals.measuring.levels import levels
from calc.signals.measuring.played import exponential_sweep
from calc.signals.measuring.sweep import Response, deconvolved
from calc.signals.measuring.transfer import transfer
from tests.calc.signals.equalise import rooms

Floats = NDArray[np.float64]

SAMPLING_HZ = 48_000
SECONDS = 60
RFFT = "numpy rfft, float64"
LOW_BANDS_HZ = (50.0, 125.0)
LIBRARY_S = 10
FITTED_BY_SCRIPT = 10
FILTERS = 8
ROOMS = Path(__file__).parents[1] / "tests/calc/signals/equalise/long_search.json"


def against_rfft(name: str, ours: Callable[[], object], samples: Floats, note: str) -> Figure:
    """Time of ours as a multiple of the plain transform of the same samples."""
    own, plain = paired_medians(ours, lambda: np.fft.rfft(samples))
    return Figure(name, own / plain, "x", plain / own, RFFT, note)


def noise() -> Floats:
    draw = np.random.default_rng(1).standard_normal((2, SECONDS * SAMPLING_HZ))
    return 0.1 * draw


@benchmark("measure.levels_x_rfft", "measure.levels_library")
def of_levels() -> Iterator[Figure]:
    whole = noise()
    singles = whole.astype(np.float32)
    yield against_rfft(
        "measure.levels_x_rfft", lambda: levels(singles, SAMPLING_HZ), whole, "60 s, 2 channels"
    )
    yield beside_a_library(singles[:, : LIBRARY_S * SAMPLING_HZ])


def beside_a_library(singles: NDArray[np.float32]) -> Figure:
    """The same thirds by pyfar's filter bank, after both are seen to agree."""
    import pyfar  # type: ignore[import-untyped]

    signal = pyfar.Signal(singles, SAMPLING_HZ)

    def library() -> Any:
        bands = pyfar.dsp.filter.fractional_octave_bands(signal, 3, frequency_range=(25, 16_000))
        return bands.time

    ours = np.array([row.level_db[:29] for row in levels(singles, SAMPLING_HZ)], dtype=np.float64)
    theirs = 10 * np.log10(np.mean(library() ** 2, axis=-1)).T
    apart = float(np.abs(ours - theirs)[:, 6:].max())
    if apart > 0.5:
        return Figure("measure.levels_library", None, "", note=f"bands differ by {apart:.2f} dB")
    own, other = paired_medians(lambda: levels(singles, SAMPLING_HZ), library)
    note = f"{LIBRARY_S} s, 2 channels; from 100 Hz up within {apart:.2f} dB"
    name = "measure.levels_library"
    return Figure(name, own * 1000, "ms", other / own, "pyfar filter bank", note)


@benchmark("measure.transfer_x_rfft")
def of_transfer() -> Iterator[Figure]:
    whole = noise()
    whole[1] = 0.5 * np.roll(whole[0], 777) + 0.1 * whole[1]
    singles = whole.astype(np.float32)
    found = transfer(singles[0], singles[1], SAMPLING_HZ)
    if round(found.delay_ms * SAMPLING_HZ / 1000) != 777:
        yield Figure("measure.transfer_x_rfft", None, "x", note="the delay was not found")
        return
    yield against_rfft(
        "measure.transfer_x_rfft",
        lambda: transfer(singles[0], singles[1], SAMPLING_HZ),
        whole,
        "delay, H1 and coherence",
    )


@benchmark("measure.deconvolve_x_rfft")
def of_deconvolution() -> Iterator[Figure]:
    played = exponential_sweep(53, SAMPLING_HZ)
    size = SECONDS * SAMPLING_HZ
    whole = np.stack([np.roll(played.samples, late)[:size] for late in (0, 4800)])
    singles = whole.astype(np.float32)
    found = [response.arrival for response in deconvolved(singles, played)]
    if found != [0, 4800]:
        yield Figure("measure.deconvolve_x_rfft", None, "x", note=f"arrivals at {found}")
        return
    yield against_rfft(
        "measure.deconvolve_x_rfft",
        lambda: deconvolved(singles, played),
        whole,
        "with distortion by order",
    )


@benchmark("measure.decay_x_rfft")
def of_decay() -> Iterator[Figure]:
    """25 third octaves, 50 Hz to 12.5 kHz; the low bands must be right over many decays."""
    off = low_bands_off()
    if off > 0.05:
        yield Figure("measure.decay_x_rfft", None, "x", note=f"low bands {100 * off:.1f} % off")
        return
    times = np.arange(SECONDS * SAMPLING_HZ) / SAMPLING_HZ
    whole = noise() * 10 ** (-3 * times / 8) + 1e-3 * noise()[::-1]
    pair = [Response(row.astype(np.float32), SAMPLING_HZ, 0, 0, -60.0) for row in whole]
    yield against_rfft(
        "measure.decay_x_rfft",
        lambda: [decay_times(response, 3, 50, 12_500) for response in pair],
        whole,
        f"25 bands; 50 to 125 Hz right within {100 * off:.1f} %",
    )


def low_bands_off() -> float:
    """Share by which the mean slope of 20 decays of 1 s is off in its worst low band."""
    times = np.arange(3 * SAMPLING_HZ) / SAMPLING_HZ
    slopes = []
    for seed in range(20):
        draw = np.random.default_rng(seed).standard_normal((2, len(times)))
        samples = draw[0] * 10 ** (-3 * times) + 10**-3.5 * draw[1]
        response = Response(samples, SAMPLING_HZ, 0, 0, -70.0)
        slopes.append([1 / (b.t30_s or np.nan) for b in decay_times(response, 3, *LOW_BANDS_HZ)])
    return float(np.abs(np.nanmean(slopes, axis=0) - 1).max())


@benchmark("measure.fit_excess_median", "measure.fit_excess_p90", "measure.fit_ratio")
def of_fit() -> Iterator[Figure]:
    searched = json.loads(ROOMS.read_text())
    excess = []
    for room, best in enumerate(searched["residual_db"]):
        problem = rooms.problem(room)
        peaks = grown_and_pruned(problem, rooms.FILTERS)
        excess.append(100 * (problem.residual_db(level_db(problem.place, peaks)) / best - 1))
    note = f"{rooms.ROOMS} rooms, seed {rooms.SEED}, {rooms.FILTERS} filters"
    median, high = float(np.median(excess)), float(np.percentile(excess, 90))
    yield Figure("measure.fit_excess_median", median, "%", None, "best of a long search", note)
    yield Figure("measure.fit_excess_p90", high, "%", None, "best of a long search", note)
    yield beside_finite_differences([rooms.problem(room) for room in range(FITTED_BY_SCRIPT)])


def beside_finite_differences(problems: list[Problem]) -> Figure:
    """The same rooms in turn by scipy, from one even start, with differences for its slopes."""
    times: list[tuple[float, float]] = []
    left = []
    for problem in problems:
        start = time.perf_counter()
        ours = grown_and_pruned(problem, FILTERS)
        middle = time.perf_counter()
        theirs = by_differences(problem, FILTERS)
        times.append((middle - start, time.perf_counter() - middle))
        left.append(np.sqrt(problem.cost_of(theirs) / problem.cost_of(ours)))
    note = f"{len(problems)} rooms; they leave {np.median(left):.2f} times as much"
    own_ms = 1000 * statistics.median(own for own, _ in times)
    ratio = statistics.median(other / own for own, other in times)
    return Figure(
        "measure.fit_ratio", own_ms, "ms", ratio, "least_squares, finite differences", note
    )


def by_differences(problem: Problem, count: int) -> Floats:
    """A plain script: cookbook peaks by their transfer function, every slope by differences."""
    hz = np.arctan(np.exp(problem.place)) * SAMPLING_HZ / np.pi
    turn = np.exp(-2j * np.pi * hz / SAMPLING_HZ)

    def left(values: Floats) -> Floats:
        total = np.zeros(len(hz))
        for lg_hz, gain, lg_q in values.reshape(-1, 3):
            w, amplitude = 2 * np.pi * 10**lg_hz / SAMPLING_HZ, 10 ** (gain / 40)
            alpha = np.sin(w) / (2 * 10**lg_q)
            over = 1 + alpha * amplitude - 2 * np.cos(w) * turn + (1 - alpha * amplitude) * turn**2
            under = 1 + alpha / amplitude - 2 * np.cos(w) * turn + (1 - alpha / amplitude) * turn**2
            total += 20 * np.log10(np.abs(over / under))
        return problem.weight * (total - problem.wanted_db)

    start = rooms.spread_evenly(problem, count)
    start[:, 0] = np.log10(np.arctan(np.exp(start[:, 0])) * SAMPLING_HZ / np.pi)
    start[:, 1] = 0.1
    start[:, 2] /= np.log(10)
    low, high = np.log10([20.0, 0.4]), np.log10([19_000.0, 10.0])
    least = np.tile([low[0], problem.least[1], low[1]], count)
    most = np.tile([high[0], problem.most[1], high[1]], count)
    found = least_squares(left, start.ravel(), bounds=(least, most), jac="2-point")
    peaks: Floats = found.x.reshape(-1, 3).copy()
    peaks[:, 0] = place_of(10 ** peaks[:, 0], SAMPLING_HZ)
    peaks[:, 2] *= np.log(10)
    return peaks
