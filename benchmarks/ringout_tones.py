"""Hearing feedback come up, in made sound: how much is found, how soon, and what is not it."""

import pickle
import time
from collections.abc import Iterator

import numpy as np

from benchmarks.figures import Figure, benchmark
from calc.signals.feedback.tones import Listener, listen
from tests.calc.signals.feedback.tones.material import FS, music, stepped

LOOPS, HOUR_S, LIVE_S, SAMPLING_HZ = range(1000, 1100), 3600, 30, 48_000
PART = 3 * SAMPLING_HZ // 10
MUSIC_SEED = 2
"""No rule of the listener was tried on these seeds."""


@benchmark("ringout.found_share", "ringout.found_within_s")
def of_crossings() -> Iterator[Figure]:
    late = []
    for seed in LOOPS:
        heard, crossed = stepped(seed)
        called = [tone.called_s for tone in listen(heard, FS)]
        late.append(min(called) - crossed if called else np.inf)
    found = np.array(late)
    note = f"{len(LOOPS)} made loops from seed {LOOPS[0]}, stepped 1 to 4 dB beyond the limit"
    share = 100 * float((found <= 1).mean())
    yield Figure("ringout.found_share", share, "% within 1 s", None, "", note)
    median = float(np.median(found))
    yield Figure("ringout.found_within_s", median, "s, median", None, "", note)


@benchmark("ringout.false_per_hour", "ringout.core_share")
def of_music() -> Iterator[Figure]:
    called = sum(len(listen(row, FS)) for _, row in music(HOUR_S, MUSIC_SEED))
    note = f"an hour of made music and speech, ten kinds, seed {MUSIC_SEED}"
    yield Figure("ringout.false_per_hour", float(called), "calls", None, "", note)
    sound = 0.1 * np.random.default_rng(1).standard_normal(LIVE_S * SAMPLING_HZ)
    kept = pickle.dumps(Listener(SAMPLING_HZ))
    started = time.process_time()
    for start in range(0, len(sound), PART):
        listener = pickle.loads(kept)
        listener.hear(sound[start : start + PART])
        kept = pickle.dumps(listener)
    share = 100 * (time.process_time() - started) / LIVE_S
    note = "48 kHz, noise, put away between parts of 0.3 s as live"
    yield Figure("ringout.core_share", share, "% of a core", None, "", note)
