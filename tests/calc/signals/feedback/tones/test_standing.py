"""What stands out now: a sine's frequency and level are known by how it was made."""

import numpy as np
import pytest

from calc.signals.feedback.tones import Listener, listen

FS = 24_000


def quiet(seconds: float, seed: int = 1):
    return 1e-3 * np.random.default_rng(seed).standard_normal(int(seconds * FS))


def standing(row):
    listener = Listener(FS)
    listener.hear(row)
    return listener.standing()


def tone(hz: float, level_db: float, seconds: float):
    return 10 ** (level_db / 20) * np.sin(2 * np.pi * hz * np.arange(int(seconds * FS)) / FS)


def test_a_tone_that_stands_at_the_limiter_is_still_there_though_no_longer_called():
    howl = quiet(2.5) + tone(1000.4, -10, 2.5)
    assert listen(howl, FS) == ()  # it does not grow in these seconds
    (hz, db), *_ = standing(howl)
    assert hz == pytest.approx(1000.4, abs=0.2) and db == pytest.approx(-10, abs=0.2)


def test_only_the_last_half_second_counts():
    row = np.concatenate([tone(500, -10, 2.0), tone(800, -20, 0.5)]) + quiet(2.5)
    assert [round(hz) for hz, _ in standing(row)] == [800]


def test_pairs_are_told_apart_loudest_first():
    row = quiet(1) + tone(300, -30, 1) + tone(312, -20, 1)
    assert [round(hz) for hz, _ in standing(row)] == [312, 300]


@pytest.mark.parametrize("row", [np.zeros(FS), quiet(1.0), tone(500, -10, 0.4), np.zeros(1)])
def test_nothing_stands_out_of_silence_noise_or_too_little(row):
    assert standing(row) == ()
