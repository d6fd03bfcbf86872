"""Feedback: the margin of loops against a loop over lines, notches against a greedy search.

Eight microphones in made rooms (seeded), 65,536 lines each. The greedy search tries a grid of
notches in each step: the strongest rings, each width, each of two depths, all lines of all
microphones with the notch's phase, in whole arrays. Ours chooses among the same widths and depths.
"""

import time
from collections.abc import Iterable, Iterator
from statistics import median

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfilt

from benchmarks.figures import RUNS, Figure, benchmark, paired_medians
from calc.signals.feedback.choosing import Choices, chosen_notches, margin_db, notched, q_of
from calc.signals.feedback.rings import gain_before_feedback_db
from calc.system import Filter

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

FS = 48_000
MICROPHONES, LINES = 8, 65_536
NOTCHES = 12
CUTS_DB = (-12.0, -6.0)
WIDTHS = {"speech": (1 / 3, 1 / 6), "music": (1 / 10, 1 / 15)}
STRONGEST = 4
ROOMS = 3


def loops(seed: int) -> tuple[Floats, Complex]:
    """Frequencies, and loops of one room: decays of 0.8 s, 100 to 900 samples late."""
    rng = np.random.default_rng(seed)
    times = np.arange(round(1.2 * FS)) / FS
    rows = rng.standard_normal((MICROPHONES, len(times))) * 10 ** (-3 * times / 0.8)
    rows = sosfilt(butter(2, [120, 7000], "band", fs=FS, output="sos"), rows)
    for row, late in zip(rows, rng.integers(100, 900, MICROPHONES), strict=True):
        row[:] = np.concatenate([np.zeros(late), row[:-late]])
    found = np.fft.rfft(rows, 2 * LINES)[:, :LINES]
    level = 10 ** (-rng.uniform(0, 3, (MICROPHONES, 1)) / 20) / np.abs(found).max()
    hz = np.arange(LINES, dtype=np.float64) * (FS / 2 / LINES)
    return hz, np.ascontiguousarray(level * found)


@benchmark("ringout.margin")
def of_margins() -> Iterator[Figure]:
    """Against the loop as it is written first, over the array; over lists it is quicker."""
    _, rows = loops(1)
    apart = float(np.abs(gain_before_feedback_db(rows) - by_lines(rows)).max())
    if apart > 0.1:
        yield Figure("ringout.margin", None, "ms", note=f"margins differ by {apart:.3f} dB")
        return
    own, loop = paired_medians(lambda: gain_before_feedback_db(rows), lambda: by_lines(rows))
    lists = [row.tolist() for row in rows]
    again, quicker = paired_medians(lambda: gain_before_feedback_db(rows), lambda: by_lines(lists))
    note = f"{MICROPHONES} microphones x {LINES} lines; within {apart:.2f} dB; "
    note += f"{quicker / again:.0f} times a loop over lists made beforehand"
    yield Figure("ringout.margin", 1000 * own, "ms", loop / own, "Python loop over lines", note)


def by_lines(rows: Iterable[Iterable[complex]]) -> Floats:
    """The margins by a plain script, with chords between lines."""
    margins = []
    for row in rows:
        highest, before = 0.0, 0j
        for after in row:
            if (before.imag < 0) != (after.imag < 0):
                share = before.imag / (before.imag - after.imag)
                size = before.real + share * (after.real - before.real)
                if size > highest:
                    highest = size
            before = after
        margins.append(-20 * np.log10(highest))
    return np.array(margins)


@benchmark("ringout.notches", "ringout.notches_lost_db")
def of_notches() -> Iterator[Figure]:
    """Each room and material once each way, after a warm-up, in turn."""
    times, lost, bought = [], [], []
    chosen_notches(*loops(0), choices("speech"), NOTCHES)
    for seed in range(ROOMS):
        hz, rows = loops(seed)
        for material in WIDTHS:
            start = time.perf_counter()
            ours = chosen_notches(hz, rows, choices(material), NOTCHES)
            middle = time.perf_counter()
            theirs = greedy(hz, rows, material)
            times.append((middle - start, time.perf_counter() - middle))
            left = [margin_db(notched(hz, rows, one, FS)) for one in (ours, theirs)]
            lost.append(left[1] - left[0])
            bought.append(left[0] - margin_db(rows))
    assert len(times) >= RUNS
    ratio = median(other / own for own, other in times)
    note = f"{NOTCHES} notches, {len(times)} cases; they buy {median(bought):.2f} dB"
    own_ms = 1000 * median(own for own, _ in times)
    yield Figure("ringout.notches", own_ms, "ms", ratio, "vectorised greedy search", note)
    note = f"worst case; median {median(lost):+.2f}, best {min(lost):+.2f}; below 0: ours has more"
    yield Figure("ringout.notches_lost_db", max(lost), "dB", None, "vectorised greedy search", note)


def choices(material: str) -> Choices:
    qs = tuple(q_of(octaves) for octaves in WIDTHS[material])
    return Choices(CUTS_DB, qs, 60.0, 12_000.0, FS)


def greedy(hz: Floats, rows: Complex, material: str) -> list[Filter]:
    """In each step the notch of the grid with which the worst ring is least, on all lines."""
    now, found = rows.copy(), []
    scaled = np.tan(np.pi * hz / FS)
    for _ in range(NOTCHES):
        trials: list[tuple[float, int, Filter, Complex]] = []
        for middle in strongest(hz, now):
            for octaves in WIDTHS[material]:
                for gain in CUTS_DB:
                    part = Filter("peak", middle, gain_db=gain, q=q_of(octaves))
                    trial = now * peak(scaled, part)
                    trials.append((float(sizes(trial)[0].max()), len(trials), part, trial))
        _, _, part, now = min(trials)
        found.append(part)
    return found


def strongest(hz: Floats, rows: Complex) -> list[float]:
    size, place = sizes(rows)
    first = place[np.argsort(-size)[:STRONGEST]]
    return np.unique(np.interp(first, np.arange(len(hz)), hz)).tolist()


def sizes(rows: Complex) -> tuple[Floats, Floats]:
    """|L| and line of all crossings of the positive real axis."""
    below = rows.imag < 0
    row, line = np.nonzero(below[:, 1:] != below[:, :-1])
    before, after = rows[row, line], rows[row, line + 1]
    share = before.imag / (before.imag - after.imag)
    size = before.real + share * (after.real - before.real)
    out = size > 0
    return size[out], (line + share)[out]


def peak(scaled: Floats, part: Filter) -> Complex:
    assert part.q is not None
    x = scaled / np.tan(np.pi * part.frequency_hz / FS)
    amplitude = 10 ** (part.gain_db / 40)
    flat = 1 - x * x
    found: Complex = (flat + 1j * x * amplitude / part.q) / (flat + 1j * x / (amplitude * part.q))
    return found
