"""Feedback is heard as it comes up, and what is played and said is not taken for it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.signals.feedback.rings import rings_of
from calc.signals.feedback.tones import Listener, listen
from tests.calc.signals.feedback.tones.material import (
    BLOCK,
    FS,
    SIZE,
    made_path,
    music,
    pink,
    stepped,
)


def growing(hz: float, growth_db_s: float, seconds: float = 2.0, fs: int = FS, start_db=-60.0):
    times = np.arange(int(seconds * fs)) / fs
    return 10 ** ((start_db + growth_db_s * times) / 20) * np.sin(2 * np.pi * hz * times)


def in_a_room(row: np.ndarray, seed: int = 1, level: float = 1e-4) -> np.ndarray:
    return row + level * pink(len(row), np.random.default_rng(seed))


@pytest.mark.parametrize("fs", [16_000, 44_100, 48_000, 96_000])
@pytest.mark.parametrize("hz", [120.0, 997.0, 3150.0])
def test_a_tone_that_grows_is_named_with_its_frequency_and_growth(fs: int, hz: float) -> None:
    [tone] = listen(in_a_room(growing(hz, 28.0, fs=fs)), fs)
    assert tone.frequency_hz == pytest.approx(hz, abs=1.0)
    assert tone.growth_db_per_s == pytest.approx(28.0, abs=1.5)
    assert f"{hz:.0f} Hz grows" in tone.says


@pytest.mark.parametrize("apart", [10.0, 14.0])
def test_two_that_lie_close_are_two(apart: float) -> None:
    """212 and 226 Hz among them: bins of 23 Hz would show one at 219."""
    row = growing(212.0, 26.0, 2.4) + growing(212.0 + apart, 26.0, 2.4)
    found = sorted(tone.frequency_hz for tone in listen(in_a_room(row), FS))
    assert found == [pytest.approx(212.0, abs=1.5), pytest.approx(212.0 + apart, abs=1.5)]


def test_loops_that_cross_their_limit_are_heard_within_a_second() -> None:
    """Twelve made rooms (seeds 9 to 20) closed in loops; none is called before its time. Over
    hundreds of seeds it is 98 in a hundred: `bin/bench --only ringout.found`.
    """
    late = []
    for seed in range(9, 21):
        heard, crossed = stepped(seed)
        called = [tone.called_s for tone in listen(heard, FS)]
        assert all(at > crossed - 0.2 for at in called)
        late.append(min(called, default=np.inf) - crossed)
    assert np.sum(np.array(late) <= 1) >= 11 and np.median(late) < 0.6


@pytest.mark.parametrize("seed", [9, 10, 11])
def test_what_is_called_is_a_ring_of_the_loop(seed: int) -> None:
    """By the path's own Nyquist curve: a ring that the gain went beyond, within 2 Hz."""
    late = np.concatenate([np.zeros(BLOCK), made_path(seed)])
    hz = np.arange(SIZE // 2 + 1) * (FS / SIZE)
    rings = rings_of(hz, np.fft.rfft(late, SIZE))
    within = [ring for ring in rings if ring.margin_db < rings[0].margin_db + 4]
    heard, _ = stepped(seed)
    first = listen(heard, FS)[0].frequency_hz
    assert min(abs(ring.frequency_hz - first) for ring in within) < 2


def test_music_and_speech_are_not_taken_for_it() -> None:
    """Two minutes of ten kinds, seed 7: organ, song, flute, crescendos, speech, bells and more."""
    called = [(kind, tone) for kind, row in music(120, 7) for tone in listen(row, FS)]
    assert called == []


@pytest.mark.parametrize(
    "row",
    [
        np.zeros(FS * 2),
        np.zeros(1),
        np.full(FS * 2, 0.5),
        np.clip(3 * np.sin(2 * np.pi * 330 * np.arange(2 * FS) / FS), -1, 1),
        sum(np.sin(2 * np.pi * 50 * n * np.arange(2 * FS) / FS) / n for n in (1, 2, 3, 4, 6)) / 4,
        0.3 * np.sin(2 * np.pi * 440 * np.arange(2 * FS) / FS),
        pink(2 * FS, np.random.default_rng(4)) / 8,
    ],
    ids=["silence", "one sample", "a constant", "clipped", "hum", "a steady tone", "noise"],
)
def test_what_does_not_grow_is_no_feedback(row: np.ndarray) -> None:
    assert listen(row, FS) == ()


def test_a_note_with_harmonics_that_swells_is_no_feedback() -> None:
    row = sum(10 ** (-8 * n / 20) * growing(220.0 * (n + 1), 24.0) for n in range(6))
    assert listen(in_a_room(np.asarray(row)), FS) == ()


@settings(max_examples=15, deadline=None)
@given(st.integers(1, 9000), st.integers(0, 100))
def test_blocks_of_any_length_hear_the_same(block: int, seed: int) -> None:
    row = in_a_room(growing(700.0, 30.0, fs=48_000), seed)
    listener, called = Listener(48_000), []
    for start in range(0, len(row), block):
        called = [*listener.hear(row[start : start + block])] or called
    whole = listen(row, 48_000)
    assert [tone.frequency_hz for tone in called] == pytest.approx(
        [tone.frequency_hz for tone in whole], abs=0.5
    )


@pytest.mark.parametrize("block", [[[1.0, 2.0]], [np.nan], [np.inf, 0.0]])
def test_what_is_no_sound_is_refused_in_words(block) -> None:
    with pytest.raises(ValueError, match="one row of numbers"):
        Listener(FS).hear(block)


@pytest.mark.parametrize("fs", [0.0, 100.0, 1e6])
def test_rates_that_no_sound_has(fs: float) -> None:
    with pytest.raises(ValueError, match="kHz"):
        Listener(fs)
