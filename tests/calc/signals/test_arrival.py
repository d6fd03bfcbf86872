"""Known shifts found again, whatever room, noise and band lie over them (all seeds are fixed)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import butter, chirp, sosfilt

from calc.signals.arrival import delay_between, delay_in

RATE = 48_000.0
WITHIN_MS = 0.02
SEEDS = range(1, 21)


def pulse(at_s: float, size: int) -> np.ndarray:
    """An ideal impulse at any time, between samples too."""
    hz = np.fft.rfftfreq(2 * size, 1 / RATE)
    return np.fft.irfft(np.exp(-2j * np.pi * hz * at_s), 2 * size)[:size]


def room_response(
    at_s: float, room: np.random.Generator, reverberant_db: float, size: int
) -> np.ndarray:
    """A direct sound, five reflections of half its size from 3 ms on, and a tail (T = 0.8 s).

    The tail's energy is `reverberant_db` re that of the direct sound.
    """
    time = np.arange(size) / RATE - at_s
    tail = room.standard_normal(size) * np.exp(-6.9 * time / 0.8) * (time > 0.004)
    tail *= 10 ** (reverberant_db / 20) / np.sqrt(np.sum(tail**2))
    whole = pulse(at_s, size) + tail
    for later, sign in zip(room.uniform(0.003, 0.023, 5), room.choice([-1, 1], 5), strict=True):
        whole += 0.5 * sign * pulse(at_s + later, size)
    return whole


def noisy(response: np.ndarray, band, noise: np.random.Generator, less_db: float) -> np.ndarray:
    """Through a causal band pass, with noise in the band `less_db` under the highest peak."""
    passed = butter(4, band, "band", fs=RATE, output="sos")
    wanted = sosfilt(passed, response)
    added = sosfilt(passed, noise.standard_normal(len(response)))
    return wanted + added * np.abs(wanted).max() * 10 ** (-less_db / 20) / added.std()


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    ("band", "less_db", "reverberant_db"),
    [((200, 8000), 30, 0), ((200, 8000), 20, 3), ((300, 3000), 30, 0), ((1000, 4000), 25, 0)],
)
def test_a_known_shift_between_two_rooms(seed: int, band, less_db, reverberant_db) -> None:
    """The direct sound is alike; reflections, tail and noise of the two are not."""
    rng = np.random.default_rng(seed)
    shift, inverted, size = rng.uniform(-20, 20), bool(rng.random() < 0.5), 57_600
    first = room_response(0.15, rng, reverberant_db, size)
    second = room_response(0.15 + shift / 1000, rng, reverberant_db, size)
    second *= -0.5 if inverted else 0.5
    first, second = (noisy(part, band, rng, less_db) for part in (first, second))
    found = delay_between(first, second, RATE, band)
    assert found.delay_ms == pytest.approx(shift, abs=WITHIN_MS)
    assert found.inverted is inverted


@pytest.mark.parametrize("seed", SEEDS)
def test_a_known_shift_of_a_sub(seed: int) -> None:
    """40 to 160 Hz, 54 dB over the noise: the same 0.02 ms is a hundredth of what 2 m make."""
    rng = np.random.default_rng(seed)
    shift = rng.uniform(-20, 20)
    pair = [noisy(pulse(at, 57_600), (40, 160), rng, 54) for at in (0.15, 0.15 + shift / 1000)]
    found = delay_between(*pair, RATE, (40, 160))
    assert found.delay_ms == pytest.approx(shift, abs=WITHIN_MS)
    assert not found.inverted


def test_it_says_how_sure_it_is() -> None:
    """Errors of forty noisy subs scatter as `within_ms` (two standard deviations) says."""
    errors, said = [], []
    for seed in range(40):
        rng = np.random.default_rng(seed)
        pair = [noisy(pulse(at, 57_600), (40, 160), rng, 30) for at in (0.15, 0.15731)]
        found = delay_between(*pair, RATE, (40, 160))
        errors.append(found.delay_ms - 7.31)
        said.append(found.within_ms)
    assert 0.5 < np.std(errors) / (np.median(said) / 2) < 1.6
    assert np.std(errors) > WITHIN_MS / 4  # so noisy that 0.02 ms cannot be promised


def test_the_weaker_first_sound_is_the_arrival() -> None:
    """A reflection twice as loud, 8 ms later, is not what arrives first."""
    first = pulse(0.1, 24_000)
    second = pulse(0.112, 24_000) - 2 * pulse(0.120, 24_000)
    assert delay_between(first, second, RATE, (200, 8000)).delay_ms == pytest.approx(12, abs=0.001)


def test_a_narrow_band_cannot_tell_its_periods_apart() -> None:
    """One sixth of an octave: the next period lies within a tenth of the best; wide it does not."""
    pair = pulse(0.2, 48_000), pulse(0.205, 48_000)
    assert delay_between(*pair, RATE, (95, 106)).rival > 0.9
    assert delay_between(*pair, RATE, (500, 8000)).rival < 0.5


@settings(max_examples=25, deadline=None)
@given(st.floats(-15, 15), st.floats(-15, 15))
def test_shifts_add_up(one: float, other: float) -> None:
    """From a to b and from b to c is from a to c; backwards it is the negative."""
    a, b, c = (pulse(0.1 + t / 1000, 9600) for t in (0.0, one, one + other))
    band = (300.0, 6000.0)
    there, on, whole = (delay_between(*p, RATE, band).delay_ms for p in ((a, b), (b, c), (a, c)))
    assert there + on == pytest.approx(whole, abs=1e-3)
    assert delay_between(b, a, RATE, band).delay_ms == pytest.approx(-there, abs=1e-3)


@pytest.mark.parametrize("seed", range(1, 6))
def test_when_a_sweep_arrives_in_its_recording(seed: int) -> None:
    """A sweep through a reverberant room with noise 20 dB under it."""
    rng = np.random.default_rng(seed)
    time = np.arange(96_000) / RATE
    played = chirp(time, 50, 2.0, 16_000, method="logarithmic")
    at = rng.uniform(0.01, 0.06)
    room = room_response(at, rng, 0, 48_000)
    recorded = -np.convolve(played, room) if seed % 2 else np.convolve(played, room)
    recorded += rng.standard_normal(len(recorded)) * 0.1 * recorded.std()
    found = delay_in(played, recorded, RATE, (200, 8000))
    assert found.delay_ms == pytest.approx(1000 * at, abs=WITHIN_MS)
    assert found.inverted is bool(seed % 2)


@pytest.mark.parametrize(
    ("first", "band", "said"),
    [
        (np.zeros(4800), (200, 2000), "silent"),
        (np.full(4800, np.nan), (200, 2000), "numbers"),
        (np.ones((2, 4800)), (200, 2000), "one row"),
        (np.ones(20), (200, 2000), "too short"),
        (np.ones(4800), (2000, 200), "band"),
        (np.ones(4800), (200, 30_000), "band"),
    ],
)
def test_what_cannot_be_compared_is_refused(first, band, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        delay_between(first, pulse(0.05, 4800), RATE, band)
