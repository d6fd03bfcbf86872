"""Hearing feedback come up, in made sound: how much is found, how soon, and what is not it."""

import time
from collections.abc import Iterator

import numpy as np

from benchmarks.figures import Figure, benchmark
from calc.signals.feedback.tones import Listener, listen
from tests.calc.signals.feedback.tones.material import FS, music, stepped

LOOPS, HOUR_S, LIVE_S, SAMPLING_HZ = 60, 3600, 30, 48_000


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
