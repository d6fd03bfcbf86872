"""Margins and notches of eight microphones, and hearing feedback come up in made sound."""

import time
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, lfilter

from benchmarks.figures import Figure, benchmark, paired_medians
from calc.signals.feedback.choosing import Choices, chosen_notches, margin_db, notched, q_of
from calc.signals.feedback.rings import crossings, gain_before_feedback_db
from calc.signals.feedback.tones import Listener, listen
from calc.signals.response import filters_response
from calc.system import Filter
from tests.calc.signals.feedback.tones.material import FS, music, stepped

Complex = NDArray[np.complex128]

MICROPHONES, LINES, SAMPLING_HZ = 8, 65_536, 48_000
NOTCHES, SEED = 12, 3
CHOICES = Choices(
    (-12.0, -9.0, -6.0, -3.0), (q_of(1 / 10), q_of(1 / 15)), 60.0, 12_000.0, float(SAMPLING_HZ)
)
TRIED = 6
LOOPS, HOUR_S, LIVE_S = 60, 3600, 30


def loops() -> tuple[NDArray[np.float64], Complex]:
    """Eight made rooms, 5 to 9 ms late, 0.6 s of decay; the loudest line is 0 dB."""
    rng = np.random.default_rng(SEED)
    rows = []
    for _ in range(MICROPHONES):
        times = np.arange(SAMPLING_HZ) / SAMPLING_HZ
        row = rng.standard_normal(SAMPLING_HZ) * 10 ** (-3 * times / 0.6)
        row = lfilter(*butter(2, [80, 9000], "band", fs=SAMPLING_HZ), row)
        row = np.concatenate([np.zeros(240 + int(rng.integers(0, 200))), row])
        rows.append(np.fft.rfft(row, 2 * LINES)[:LINES] * 10 ** (rng.uniform(-2, 0) / 20))
    table: Complex = np.array(rows) / np.abs(rows).max()
    hz = np.arange(LINES, dtype=np.float64) * (SAMPLING_HZ / 2 / LINES)
    return hz, table


@benchmark("ringout.margin", "ringout.notches", "ringout.notches_lost_db")
def of_loops() -> Iterator[Figure]:
    hz, rows = loops()
    own, plain = paired_medians(
        lambda: gain_before_feedback_db(rows), lambda: [by_line(row) for row in rows.tolist()]
    )
    note = f"{MICROPHONES} microphones x {LINES} lines"
    yield Figure("ringout.margin", 1000 * own, "ms", plain / own, "a Python loop", note)
    own, plain = paired_medians(
        lambda: chosen_notches(hz, rows, CHOICES, NOTCHES), lambda: greedy(hz, rows)
    )
    note = f"{NOTCHES} notches, {note}, seed {SEED}"
    yield Figure("ringout.notches", 1000 * own, "ms", plain / own, "exact greedy search", note)
    ours = chosen_notches(hz, rows, CHOICES, NOTCHES)
    theirs = greedy(hz, rows)
    bought = [margin_db(notched(hz, rows, part, SAMPLING_HZ)) for part in (ours, theirs)]
    before = margin_db(rows)
    yield Figure(
        "ringout.notches_lost_db", bought[1] - bought[0], "dB", None, "exact greedy search",
        f"{bought[0] - before:.2f} dB bought against {bought[1] - before:.2f}",
    )  # fmt: skip


def by_line(row: list[complex]) -> float:
    """The margin, line by line."""
    highest = 1e-10
    for one, other in pairwise(row):
        if (one.imag < 0) != (other.imag < 0):
            part = one.imag / (one.imag - other.imag)
            highest = max(highest, one.real + part * (other.real - one.real))
    return float(-20 * np.log10(highest))


def greedy(hz: NDArray[np.float64], rows: Complex) -> tuple[Filter, ...]:
    """Each step tries every width and cut at the worst rings on the whole curves, and keeps the
    best."""
    found: list[Filter] = []
    now = rows
    for _ in range(NOTCHES):
        cross = crossings(now)
        worst = cross.hz(hz)[np.argsort(-cross.size)[:TRIED]]
        tried = [
            Filter("peak", float(middle), gain_db=gain, q=q)
            for middle in worst for q in CHOICES.qs for gain in CHOICES.gains_db
        ]  # fmt: skip
        margins = [margin_db(now * filters_response([one], hz, SAMPLING_HZ)) for one in tried]
        found.append(tried[int(np.argmax(margins))])
        now = now * filters_response(found[-1:], hz, SAMPLING_HZ)
    return tuple(found)


@benchmark("ringout.found_share", "ringout.found_within_s")
def of_crossings() -> Iterator[Figure]:
    late = []
    for seed in range(LOOPS):
        heard, crossed = stepped(seed)
        called = [tone.called_s for tone in listen(heard, FS)]
        late.append(min(called) - crossed if called else np.inf)
    found = np.array(late)
    note = f"{LOOPS} made loops, seeds 0 to {LOOPS - 1}, stepped 1 to 4 dB beyond the limit"
    share = 100 * float((found <= 1).mean())
    yield Figure("ringout.found_share", share, "% within 1 s", None, "", note)
    median = float(np.median(found))
    yield Figure("ringout.found_within_s", median, "s, median", None, "", note)


@benchmark("ringout.false_per_hour", "ringout.core_share")
def of_music() -> Iterator[Figure]:
    called = sum(len(listen(row, FS)) for _, row in music(HOUR_S, 1))
    note = "an hour of made music and speech, ten kinds, seed 1"
    yield Figure("ringout.false_per_hour", float(called), "calls", None, "", note)
    sound = 0.1 * np.random.default_rng(1).standard_normal(LIVE_S * SAMPLING_HZ)
    listener = Listener(SAMPLING_HZ)
    started = time.process_time()
    for start in range(0, len(sound), SAMPLING_HZ // 2):
        listener.hear(sound[start : start + SAMPLING_HZ // 2])
    share = 100 * (time.process_time() - started) / LIVE_S
    yield Figure("ringout.core_share", share, "% of a core", None, "", "48 kHz, noise")
