"""Phases recovered from levels alone, against scipy's filters, which are of minimum phase."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import bessel, butter, freqs, minimum_phase

from calc.signals.minimum_phase import minimum_phase_deg

HZ = np.geomspace(10, 40_000, 600)


def response(order: int, corner_hz: float | tuple, kind: str, family=butter) -> np.ndarray:
    b, a = family(order, 2 * np.pi * np.asarray(corner_hz), kind, analog=True)
    return freqs(b, a, 2 * np.pi * HZ)[1]


def level_and_phase(found: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    return 20 * np.log10(np.abs(found)), np.degrees(np.unwrap(np.angle(found)))


@pytest.mark.parametrize("order", [1, 2, 3, 4, 6, 8])
@pytest.mark.parametrize("kind", ["highpass", "lowpass"])
def test_a_filter_s_phase_within_a_degree(order: int, kind: str) -> None:
    """RUN scipy, Butterworth at 500 Hz: within 1 degree over all three decades inside."""
    level, phase = level_and_phase(response(order, 500, kind))
    found = minimum_phase_deg(HZ, level, HZ)
    inside = (HZ > 30) & (HZ < 10_000)
    assert np.abs(_same_turn(found - phase))[inside].max() < 1.0


def test_a_loudspeaker_like_response_within_three_degrees_in_its_middle() -> None:
    """A fourth-order high pass at 45 Hz, a Bessel low pass at 9 kHz and a peak between (RUN).

    What lies beyond the data sheet's ends is a guess: 10 degrees an octave inside of them.
    """
    s = 2j * np.pi * HZ
    w = 2 * np.pi * 800
    peak = (s**2 + 2.0 * w * s + w**2) / (s**2 + 1.0 * w * s + w**2)
    whole = response(4, 45, "highpass") * response(4, 9000, "lowpass", bessel) * peak
    level, phase = level_and_phase(whole)
    seen = (HZ >= 25) & (HZ <= 18_000)  # as far as a data sheet shows it
    found = minimum_phase_deg(HZ[seen], level[seen], HZ[seen])
    off = np.abs(_same_turn(found - phase[seen]))
    assert off[(HZ[seen] > 100) & (HZ[seen] < 2000)].max() < 3.0
    assert off[(HZ[seen] > 50) & (HZ[seen] < 9000)].max() < 10.0


def test_twelve_points_of_a_data_sheet_within_ten_degrees() -> None:
    """Third-octave points only, and none below 40 Hz: still good enough to start from."""
    level, phase = level_and_phase(response(4, 60, "highpass"))
    few = np.geomspace(40, 500, 12)
    at = np.geomspace(60, 300, 30)
    found = minimum_phase_deg(few, np.interp(np.log(few), np.log(HZ), level), at)
    wanted = np.interp(np.log(at), np.log(HZ), phase)
    assert np.abs(_same_turn(found - wanted)).max() < 10.0


def test_agrees_with_scipy_s_own_way() -> None:
    """RUN: scipy.signal.minimum_phase (by the cepstrum) of a linear-phase filter's level."""
    size = 4096
    taps = np.sinc((np.arange(401) - 200) * 0.1) * np.hanning(401)  # low pass, 1/20 of the rate
    taps = 0.05 * taps + np.eye(1, 401, 200)[0]  # a shelf: nowhere silent
    short = minimum_phase(np.convolve(taps, taps[::-1]), method="homomorphic", n_fft=65536)
    wanted = np.fft.rfft(short, 65536)
    turns = np.arange(1, len(wanted)) / 65536
    level = 20 * np.log10(np.abs(wanted[1:]))
    at = np.geomspace(0.005, 0.1, 40)
    have = np.unwrap(np.angle(wanted[1:]))
    found = minimum_phase_deg(turns[: size * 7], level[: size * 7], at)
    assert found == pytest.approx(np.degrees(np.interp(at, turns, have)), abs=1.5)


@given(st.floats(-30, 30), st.floats(-12, 12))
def test_a_straight_slope_has_one_phase(level_db: float, orders: float) -> None:
    """MATH: 20 dB a decade are 90 degrees everywhere, whatever the level."""
    level = level_db + orders / 2 * 20 * np.log10(HZ / 1000)
    expected = np.full(9, 90 * np.clip(orders / 2, -7.97, 7.97))
    found = minimum_phase_deg(HZ, level, np.geomspace(50, 5000, 9))
    assert found == pytest.approx(expected, abs=0.01)


@given(st.floats(-20, 20), st.floats(0.5, 2.0))
def test_levels_up_or_down_and_another_pitch_change_nothing(more: float, times: float) -> None:
    level = 20 * np.log10(np.abs(response(3, 200, "highpass")))
    at = np.geomspace(100, 2000, 7)
    plain = minimum_phase_deg(HZ, level, at)
    moved = minimum_phase_deg(times * HZ, level + more, times * at)
    assert moved == pytest.approx(plain, abs=1e-6)


def _same_turn(difference: np.ndarray) -> np.ndarray:
    """Phases that differ by whole turns are the same."""
    return (difference + 180) % 360 - 180
