"""Limiter thresholds."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.electrical.limiters import peak_volts, rated_volts, rounded_down, thresholds
from tests.calc.builders import way


def test_published_case() -> None:
    """400 W into 8 ohm behind 32 dB: +5.270 dBu rms, 6.02 dB more peak, +11.290 (MATH)."""
    box = way(power=400, impedance=8, peak=1600)
    found = thresholds(rated_volts(box), peak_volts(box), 32, 0, None)
    assert found.rms_dbu == pytest.approx(5.270, abs=1e-3)
    assert found.peak_dbu == pytest.approx(11.290, abs=1e-3)


def test_level_control_raises_the_threshold() -> None:
    up, down = (thresholds(50, 100, 32, level, None) for level in (0, -6))
    assert down.rms_dbu - up.rms_dbu == pytest.approx(6)


def test_a_lower_peak_rating_counts() -> None:
    """Peak power 3 dB above the noise power: peak threshold 3 dB above rms."""
    box = way(power=400, peak=800)
    found = thresholds(rated_volts(box), peak_volts(box), 32, 0, None)
    assert found.peak_dbu - found.rms_dbu == pytest.approx(3.0103, abs=1e-3)
    assert peak_volts(way(power=400, peak=9000)) == peak_volts(way(power=400, peak=None))


@given(st.floats(-60, 40), st.sampled_from([0.1, 0.25, 0.5, 1.0, 3.0, 0.01]))
def test_rounding_never_exceeds(value: float, step: float) -> None:
    found = rounded_down(value, step)
    assert found <= value
    assert value - found < step * (1 + 1e-6)
    assert math.isclose(found / step, round(found / step), abs_tol=1e-5)


def test_unknown_step_and_unknown_rating() -> None:
    assert rounded_down(5.27, None) == 5.27
    assert rated_volts(way(power=None)) is None
    assert peak_volts(way(impedance=None)) is None
