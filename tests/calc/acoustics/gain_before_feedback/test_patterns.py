"""First-order microphone patterns."""

import math

import numpy as np
import pytest

from calc.acoustics.gain_before_feedback.patterns import (
    PRESSURE_SHARE,
    from_all_round,
    heard,
    null_deg,
)


@pytest.mark.parametrize(
    ("pattern", "index_db"),
    [
        ("omnidirectional", 0.0),
        ("figure of eight", 4.771),
        ("cardioid", 4.771),
        ("supercardioid", 5.719),
        ("hypercardioid", 6.021),
    ],
)
def test_directivity_index(pattern: str, index_db: float) -> None:
    """MATH: the mean of the squared pattern over the sphere, in closed form."""
    assert -10 * math.log10(from_all_round(pattern)) == pytest.approx(index_db, abs=1e-3)


@pytest.mark.parametrize("pattern", PRESSURE_SHARE)
def test_energy_from_all_round_is_the_mean_over_the_sphere(pattern: str) -> None:
    """Summed over the sphere; the floor in the null may add up to 1 % (20 dB)."""
    cosine = np.linspace(-1, 1, 200_001)
    mean = float((heard(pattern, cosine) ** 2).mean())
    assert from_all_round(pattern) - 1e-4 <= mean <= from_all_round(pattern) + 0.01


def test_in_front_every_pattern_hears_all_and_behind_its_own() -> None:
    behind = {
        "omnidirectional": 1.0,
        "cardioid": 0.1,  # its null: 20 dB and no more
        "hypercardioid": -0.5,  # MATH: 6 dB, reversed
        "figure of eight": -1.0,
        "unknown": 1.0,
    }
    for pattern, expected in behind.items():
        assert heard(pattern, np.array([1.0]))[0] == 1.0
        assert heard(pattern, np.array([-1.0]))[0] == pytest.approx(expected)


def test_where_the_nulls_are() -> None:
    """MATH: arccos(-a / (1 - a))."""
    assert null_deg("cardioid") == pytest.approx(180)
    assert null_deg("supercardioid") == pytest.approx(125.26, abs=0.01)
    assert null_deg("hypercardioid") == pytest.approx(109.47, abs=0.01)
    assert null_deg("figure of eight") == pytest.approx(90)
    assert null_deg("omnidirectional") is None and null_deg("unknown") is None


def test_unknown_takes_in_no_less_than_any_other() -> None:
    cosine = np.linspace(-1, 1, 721)
    for pattern in PRESSURE_SHARE:
        assert (np.abs(heard("unknown", cosine)) >= np.abs(heard(pattern, cosine))).all()
