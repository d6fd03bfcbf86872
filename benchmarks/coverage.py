"""The sound field against a plain numpy script, a point-source library and the machine."""

import multiprocessing
import resource
import statistics
import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from benchmarks.figures import Figure, benchmark, median_seconds, paired_medians
from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource, axes_of
from calc.check import check
from calc.figure import Figure as KnownFigure
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    AudienceArea,
    CableSheet,
    DriveLine,
    Link,
    LoudspeakerSheet,
    ModeLimits,
    Placement,
    Rating,
    Surroundings,
    SystemDescription,
    Way,
)

Floats = NDArray[np.float64]

AIR = Surroundings()
NUMBERS = range(-17, 14)
"""31 bands, 20 Hz to 20 kHz, three lines each."""

SIZES = {"small": (4, 2_000), "large": (48, 10_000), "stadium": (200, 50_000)}
SCRIPT = "chunked complex128 numpy script"
SCRIPT_POINTS = 5_000
"""The script is timed on so many points at most, and counted for all: it is linear in them."""


@dataclass(frozen=True)
class Work:
    """One rig and its listeners."""

    sources: list[PointSource]
    points: Floats

    @property
    def lines(self) -> int:
        return len(self.sources) * len(self.points) * len(NUMBERS) * 3


def work_of(sources: int, points: int) -> Work:
    """Boxes over a stage, two kinds of smooth complex balloons, each with its own filters."""
    draw = np.random.default_rng(sources)
    polar, turn = np.radians(5.0 * np.arange(37)), np.radians(5.0 * np.arange(73))
    size = np.geomspace(0.1, 4, len(NUMBERS))[:, None, None]
    tables = []
    for lean in (0.0, 0.4):
        shape = -size * (1 + lean * np.cos(2 * turn))[None, :, None] * polar**2
        phase = 1j * size * 0.5 * np.sin(polar) * np.cos(turn)[None, :, None]
        tables.append((np.maximum(np.exp(shape), 0.1) * np.exp(phase)).astype(np.complex64))
    count = len(NUMBERS) * 3
    rig = [
        PointSource(
            position_m=tuple(draw.uniform((-10, -1, 1), (10, 1, 8))),
            axes=axes_of(*draw.uniform((-40, -20, -5), (40, 5, 5))),
            table=tables[index % 2],
            gain=draw.uniform(0.3, 1, count) * np.exp(1j * draw.uniform(-3, 3, count)),
            delay_s=float(draw.uniform(0, 0.02)),
            group="one",
        )
        for index in range(sources)
    ]
    return Work(rig, _seats(points))


def _seats(count: int) -> Floats:
    """Rows of seats on a raked floor, 40 m wide from 3 to 80 m."""
    rows = round(np.sqrt(count * 77 / 40))
    x, y = np.meshgrid(np.linspace(-20, 20, -(-count // rows)), np.linspace(3, 80, rows))
    return np.column_stack([x.ravel(), y.ravel(), 1.2 + y.ravel() / 20])[:count]


def script(work: Work, chunk: int = 2_000) -> Floats:
    """What somebody writes first who knows numpy: a loop over sources, arrays in complex128."""
    lines = bands.lines_of(NUMBERS)
    loss = loss_db_per_m(np.array([bands.exact_hz(n) for n in NUMBERS]), AIR) / 8.685889638
    wave = 2j * np.pi * lines
    tables = {id(s.table): s.table.transpose(1, 2, 0).astype(np.complex128) for s in work.sources}
    energy = np.empty((len(work.points), len(NUMBERS)))
    for first in range(0, len(work.points), chunk):
        points = work.points[first : first + chunk]
        total = np.zeros((len(points), len(lines)), dtype=np.complex128)
        for source in work.sources:
            ahead, right, up = ((points - source.position_m) @ source.axes.T).T
            r = np.sqrt(ahead**2 + right**2 + up**2)
            polar = np.degrees(np.arctan2(np.hypot(right, up), ahead)) / 5
            azimuth = np.degrees(np.arctan2(up, right)) % 360 / 5
            i, j = np.minimum(azimuth.astype(int), 71), np.minimum(polar.astype(int), 35)
            u, v = (azimuth - i)[:, None], (polar - j)[:, None]
            table = tables[id(source.table)]
            shape = (
                (1 - u) * ((1 - v) * table[i, j] + v * table[i, j + 1])
                + u * ((1 - v) * table[i + 1, j] + v * table[i + 1, j + 1])
            ) * (np.exp(-np.outer(r, loss)) / r[:, None])
            turn = np.exp(-(r / speed_of_sound(20.0) + source.delay_s)[:, None] * wave)
            total += np.repeat(shape, 3, axis=1) * turn * source.gain
        energy[first : first + chunk] = (
            (np.abs(total) ** 2).reshape(len(points), len(NUMBERS), 3).sum(axis=2)
        )
    return energy


def ours(work: Work) -> Floats:
    return band_energy(work.sources, work.points, AIR, 0.0, NUMBERS)


@benchmark("coverage.small", "coverage.large", "coverage.stadium")
def against_the_script() -> Iterator[Figure]:
    for name, (sources, points) in SIZES.items():
        work = work_of(sources, points)
        part = Work(work.sources, work.points[:SCRIPT_POINTS])
        runs = 5 if name != "stadium" else 1
        if runs == 5:
            fast, slow = paired_medians(lambda w=work: ours(w), lambda w=part: script(w))  # type: ignore[misc]
        else:
            fast, slow = _few(work, part)
        slow *= len(work.points) / len(part.points)
        note = f"{sources} sources x {points} points x 93 lines"
        if len(part.points) < points:
            note += f"; script timed on {len(part.points)} points"
        yield Figure(f"coverage.{name}", fast * 1000, "ms", slow / fast, SCRIPT, note)


def _few(work: Work, part: Work) -> tuple[float, float]:
    """Medians of three, in turn, for runs of many seconds."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(3):
        for kept, run, on in ((times[0], ours, work), (times[1], script, part)):
            start = time.perf_counter()
            run(on)
            kept.append(time.perf_counter() - start)
    return statistics.median(times[0]), statistics.median(times[1])


@benchmark("coverage.error_db")
def error() -> Iterator[Figure]:
    work = work_of(48, 2_000)
    off = np.abs(10 * np.log10(ours(work) / script(work)))
    note = f"99.9th percentile of {off.size} cells of {SCRIPT}; largest {off.max():.4f}"
    yield Figure("coverage.error_db", float(np.quantile(off, 0.999)), "dB", note=note)


@benchmark("coverage.limit_share")
def limit() -> Iterator[Figure]:
    """The least that any way in numpy must do: one complex product for each line, in cache."""
    work = work_of(48, 2_000)
    phasors = np.exp(1j * np.linspace(0, 3, 36_000)).astype(np.complex64)
    driven = phasors.copy()
    rounds = work.lines // len(phasors)

    def floor() -> None:
        for _ in range(rounds):
            np.multiply(phasors, driven, out=driven)

    fast, least = paired_medians(lambda: ours(work), floor)
    note = "time of one complex64 product a line, in cache, over the field's whole time"
    yield Figure("coverage.limit_share", least / fast, "", note=note)


@benchmark("coverage.library")
def library() -> Iterator[Figure]:
    try:
        import sfs  # type: ignore[import-not-found, import-untyped, unused-ignore]
    except ImportError:
        note = "the point-source library sfs is not installed: see requirements-dev.txt"
        yield Figure("coverage.library", None, "", note=note)
        return
    sources, points = SIZES["small"]
    work = work_of(sources, points)
    grid = [work.points[:, axis] for axis in range(3)]
    turns = 2 * np.pi * bands.lines_of(NUMBERS)
    speed = speed_of_sound(AIR.temperature_c)

    def theirs() -> None:
        for omega in turns:
            sum(sfs.fd.source.point(omega, s.position_m, grid, c=speed) for s in work.sources)

    fast, slow = paired_medians(lambda: ours(work), theirs)
    note = (
        f"{sources} sources x {points} points x {len(turns)} lines each; "
        "theirs without directivity, air, filters and delay"
    )
    yield Figure("coverage.library", fast * 1000, "ms", slow / fast, "sfs", note)


def _peak(answer: "multiprocessing.queues.SimpleQueue[float]") -> None:
    work = work_of(*SIZES["stadium"])
    ours(work)
    answer.put(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


@benchmark("coverage.peak_mb")
def peak() -> Iterator[Figure]:
    """In a process of its own: the whole of it, Python and libraries included."""
    context = multiprocessing.get_context("spawn")
    answer = context.SimpleQueue()
    process = context.Process(target=_peak, args=(answer,))
    process.start()
    process.join()
    if process.exitcode:
        raise RuntimeError(f"the measuring process ended with {process.exitcode}")
    note = "whole process, 200 sources x 50,000 points x 93 lines"
    yield Figure("coverage.peak_mb", float(answer.get()), "MB", note=note)


@benchmark("coverage.moved_ms")
def moved() -> Iterator[Figure]:
    """A whole check after one of four boxes moved: lines, field, figures and maps."""
    described = [_small_rig(step / 10) for step in (0, 1)]
    if not all(check(rig).areas for rig in described):
        raise RuntimeError("the small rig gives no map")
    turn = iter(range(1_000_000))
    seconds = median_seconds(lambda: check(described[next(turn) % 2]), 9)
    note = "calc.check of 4 boxes over 2,000 points; drawing and transport not in it"
    yield Figure("coverage.moved_ms", seconds * 1000, "ms", note=note)


def _small_rig(moved_m: float) -> SystemDescription:
    figure = KnownFigure
    way = Way(
        "full", figure(8.0), figure(6.4), figure(400.0), figure(1600.0), figure(97.0), "1 W",
        figure(60.0), figure(16_000.0), figure(90.0), figure(60.0),
    )  # fmt: skip
    amplifier = AmplifierSheet(
        "Amp", 4, (Rating("per channel", 8.0, figure(600.0)),),
        (ModeLimits("per channel", figure(4.0), "rated", 0.0),),
        gain_db=figure(32.0), damping_factor=figure(500.0),
    )  # fmt: skip
    names = [f"Box {index}" for index in range(4)]
    return SystemDescription(
        event="Bench",
        loudspeakers=(LoudspeakerSheet("Box", "top", (way,), width_m=figure(0.4)),),
        amplifiers=(amplifier,),
        cables=(CableSheet("Flex", figure(2.5), "5", figure(20.0), 1),),
        amplifier_places=(AmplifierPlace("Rack", "Rack", "Amp"),),
        placements=tuple(
            Placement(name, "Box", 4.0 * i - 6 + moved_m * (i == 0), 0.0, 3.0, 0.0, -5.0)
            for i, name in enumerate(names)
        ),
        drive_lines=tuple(
            DriveLine(name, "", None, "Rack", i + 1, "per channel", 0.0,
                      (Link(name, "full", "Flex", 1, True),))
            for i, name in enumerate(names)
        ),
        areas=(
            AudienceArea("Floor", ((-20.0, 3.0), (20.0, 3.0), (20.0, 53.0), (-20.0, 53.0)), 0, 1.6),
        ),
    )  # fmt: skip
