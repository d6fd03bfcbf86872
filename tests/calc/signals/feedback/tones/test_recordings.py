"""Hearing feedback in real rooms, and none in some of what is sung, played and said.

Fetched on demand only: see `tests.reference.recordings`. The sports hall there is left out: it
decays for 6.5 s and its microphone is far away, so a loop in it grows by a few dB a second only.
"""

import math

import numpy as np
import pytest
from scipy.signal import butter, lfilter, resample_poly

from calc.signals.feedback.tones import listen
from calc.signals.measuring.sweep import divided, response_of
from tests.calc.signals.feedback.tones.material import FS, SIZE, Floats, stepped_over
from tests.reference.recordings import (
    CHORD,
    CONVERSATION,
    FLUTE,
    FRENCH,
    LIVING_ROOM,
    PLAYED_SWEEP,
    READ,
    SONG_10,
    SONG_14,
    SWEEP_IN_ROOM_1,
    SWEEP_IN_ROOM_2,
    Recording,
    recording,
)

BEFORE_S = 0.002


@pytest.mark.parametrize(
    "played",
    [SONG_10, SONG_14, FLUTE, CHORD, FRENCH, CONVERSATION, *READ],
    ids=lambda played: f"{played.what}, {played.sha256[:4]}",
)
def test_what_is_sung_played_and_spoken_is_not_taken_for_it(played: Recording) -> None:
    """80 s of real sound, a file at a time. It is little, and kinder than much else: in 27 minutes
    of telephone prompts nothing is called either, but in 38 minutes of orchestral game music 6
    tones are.
    """
    assert listen(*recording(played)) == ()


def measured_path(room: Recording, late_s: float) -> Floats:
    """From the system to a microphone in a real room: until it has decayed by 45 dB, in the band
    and at the level of made paths, its direct sound 2 ms after `late_s`."""
    samples, rate = recording(room)
    if room is LIVING_ROOM:
        response = response_of(samples, rate)
    else:
        response = divided(samples, recording(PLAYED_SWEEP)[0], rate)[0]
    begins = max(0, response.onset - round(BEFORE_S * rate))
    shared = math.gcd(FS, round(rate))
    row = resample_poly(response.samples[begins:], FS // shared, round(rate) // shared)
    row = lfilter(*butter(2, [120, 5000], "band", fs=FS), row)
    row = row[: _decayed(row)]
    row = np.concatenate([np.zeros(round(late_s * FS)), row])
    return row / np.abs(np.fft.rfft(row, SIZE)).max()


def _decayed(row: Floats) -> int:
    """The sample from which 20 ms of it lie 45 dB below its loudest 20 ms."""
    size = round(0.02 * FS)
    power = (row[: len(row) // size * size].reshape(-1, size) ** 2).mean(axis=1)
    [quiet] = np.nonzero(power < power.max() * 10**-4.5)
    return int(quiet[quiet > power.argmax()][0]) * size


@pytest.mark.parametrize(
    ("room", "loops", "within"),
    [(LIVING_ROOM, 20, 20), (SWEEP_IN_ROOM_1, 40, 33), (SWEEP_IN_ROOM_2, 20, 20)],
    ids=["living room", "room 1", "room 2"],
)
def test_loops_in_a_real_room_are_heard_within_a_second(
    room: Recording, loops: int, within: int
) -> None:
    """Seeds from 0 on; the sound takes up to 15 ms longer to the microphone by each. The seven that
    are late in room 1 ring low and grow by 14 to 39 dB a second, in noise that is loud down there.
    None is called before its time.
    """
    first = []
    for seed in range(loops):
        path = measured_path(room, np.random.default_rng(seed).uniform(0, 0.015))
        heard, crossed = stepped_over(path, seed)
        called = [tone.called_s for tone in listen(heard, FS)]
        first.append(min(called, default=math.inf) - crossed)
    assert min(first) > 0
    assert sum(after <= 1.0 for after in first) >= within
