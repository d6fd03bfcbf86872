"""The delay finder on real rooms. Fetched on demand only: see `tests.reference.recordings`."""

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from calc.signals.arrival import delay_between, delay_in
from tests.reference.recordings import (
    LIVING_ROOM,
    PLAYED_SWEEP,
    SPORTS_HALL,
    SWEEP_IN_ROOM_1,
    SWEEP_IN_ROOM_2,
    Recording,
    recording,
)


def later(response: np.ndarray, rate: float, shift_ms: float) -> np.ndarray:
    """Moved by any time; the ends are padded by 0.2 s first, so that nothing wraps round."""
    padded = np.pad(response, round(0.2 * rate))
    hz = np.fft.rfftfreq(len(padded), 1 / rate)
    turned = np.fft.rfft(padded) * np.exp(-2j * np.pi * hz * shift_ms / 1000)
    return np.fft.irfft(turned, len(padded))


@pytest.mark.parametrize("seed", range(1, 7))
@pytest.mark.parametrize("band", [(200.0, 8000.0), (300.0, 3000.0)])
@pytest.mark.parametrize("room", [SPORTS_HALL, LIVING_ROOM], ids=["sports hall", "living room"])
def test_a_measured_room_moved_by_a_known_time(room: Recording, band, seed: int) -> None:
    """Band-limited, with independent noise 30 dB under the peak of each."""
    response, rate = recording(room)
    rng = np.random.default_rng(seed)
    shift, inverted = rng.uniform(-30, 30), bool(rng.random() < 0.5)
    passed = butter(4, band, "band", fs=rate, output="sos")
    pair = []
    for move, sign in ((0.0, 1), (shift, -1 if inverted else 1)):
        part = sign * sosfilt(passed, later(response, rate, move))
        noise = sosfilt(passed, rng.standard_normal(len(part)))
        pair.append(part + noise * np.abs(part).max() * 10 ** (-30 / 20) / noise.std())
    found = delay_between(*pair, rate, band)
    assert found.delay_ms == pytest.approx(shift, abs=0.02)
    assert found.inverted is inverted


@pytest.mark.parametrize(
    ("room", "peak"),
    [(SWEEP_IN_ROOM_1, 7942), (SWEEP_IN_ROOM_2, 18636)],
    ids=["room 1", "room 2"],
)
def test_a_played_sweep_found_in_its_recording(room: Recording, peak: int) -> None:
    """RUN: spectral division has its peak at sample 7942 (0.18009 s) and 18636.

    Half a sample is 0.011 ms; in a part of the band as in nearly all of it.
    """
    played, rate = recording(PLAYED_SWEEP)
    recorded, other = recording(room)
    assert rate == other
    for band in ((500.0, 16_000.0), (20.0, 20_000.0)):
        found = delay_in(played, recorded, rate, band)
        assert found.delay_ms == pytest.approx(1000 * peak / rate, abs=0.02)


def test_two_recordings_moved_against_each_other() -> None:
    """What a recording is cut by is found again to 0.02 ms, in the same real room."""
    played, rate = recording(PLAYED_SWEEP)
    recorded, _ = recording(SWEEP_IN_ROOM_1)
    whole = delay_in(played, recorded, rate, (500.0, 16_000.0)).delay_ms
    cut = delay_in(played, recorded[1234:], rate, (500.0, 16_000.0)).delay_ms
    assert whole - cut == pytest.approx(1000 * 1234 / rate, abs=0.02)
