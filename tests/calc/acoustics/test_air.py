"""Air against ISO 9613."""

import numpy as np
import pytest

from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.system import Surroundings

OCTAVES = 1000 * 10 ** (0.3 * np.arange(-4, 4))


@pytest.mark.parametrize(
    ("temperature", "humidity", "per_km"),
    [
        (10, 70, [0.122, 0.411, 1.043, 1.928, 3.658, 9.664, 32.770, 116.882]),
        (20, 70, [0.090, 0.339, 1.132, 2.798, 4.978, 9.016, 22.911, 76.621]),
        (15, 50, [0.142, 0.479, 1.217, 2.236, 4.164, 10.786, 36.220, 128.573]),
        (15, 80, [0.093, 0.343, 1.075, 2.399, 4.151, 8.313, 23.671, 82.831]),
        (20, 50, [0.123, 0.445, 1.318, 2.733, 4.665, 9.855, 29.419, 103.912]),
    ],
)
def test_loss(temperature, humidity, per_km) -> None:
    """RUN: pyfar, acoustic-toolbox and phonometry agree to three decimals (exact mid-bands)."""
    found = 1000 * loss_db_per_m(OCTAVES, Surroundings(temperature, humidity))
    assert found == pytest.approx(per_km, rel=1e-3, abs=6e-4)


@pytest.mark.parametrize(
    ("temperature", "humidity", "per_km"),
    [
        (10, 70, [0.1, 0.4, 1.0, 1.9, 3.7, 9.7, 32.8, 117]),
        (20, 70, [0.1, 0.3, 1.1, 2.8, 5.0, 9.0, 22.9, 76.6]),
        (15, 50, [0.1, 0.5, 1.2, 2.2, 4.2, 10.8, 36.2, 129]),
        (15, 80, [0.1, 0.3, 1.1, 2.4, 4.1, 8.3, 23.7, 82.8]),
    ],
)
def test_loss_against_the_standards_table(temperature, humidity, per_km) -> None:
    """ISO 9613-2 table 2 (READ), rounded there."""
    found = 1000 * loss_db_per_m(OCTAVES, Surroundings(temperature, humidity))
    assert found == pytest.approx(per_km, rel=4e-3, abs=0.06)


@pytest.mark.parametrize("k", [0.7, 0.9, 1.1])
def test_pressure(k: float) -> None:
    """Similarity (MATH): at k times the pressure and the same share of vapour, k times the
    frequency loses k times as much per metre."""
    sea = loss_db_per_m(OCTAVES, Surroundings(20, 50, 101.325))
    other = loss_db_per_m(k * OCTAVES, Surroundings(20, 50 * k, k * 101.325))
    assert other == pytest.approx(k * sea, rel=1e-9)


@pytest.mark.parametrize(
    ("temperature", "speed"),
    [(-10, 325.165), (0, 331.286), (10, 337.296), (20, 343.200), (30, 349.005), (40, 354.714)],
)
def test_speed_of_sound(temperature, speed) -> None:
    """RUN: pyfar `speed_of_sound_simple`, acoustic-toolbox, phonometry (ISO 9613-1)."""
    assert speed_of_sound(temperature) == pytest.approx(speed, abs=0.02)
