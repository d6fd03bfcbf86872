"""Decay times and what follows from them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.room.decay import (
    air_area_m2,
    critical_distance_m,
    eyring_s,
    sabine_s,
    schroeder_hz,
    surfaces_of,
)
from calc.figure import UNKNOWN
from calc.system import Room, RoomSurface, Surroundings
from tests.calc.builders import known

SEVEN = np.ones(7)


def test_sabine_and_eyring() -> None:
    """V 2000, S 1000, absorption 0.2, c = 343 (RUN acoustic-toolbox and phonometry exactly)."""
    none = np.zeros(7)
    assert sabine_s(2000, 200 * SEVEN, 343.0) == pytest.approx(1.6111, abs=5e-5)
    assert eyring_s(2000, 1000, 0.2 * SEVEN, none, 343.0) == pytest.approx(1.4440, abs=5e-5)


def test_taught_rooms() -> None:
    """READ (public teaching slides): a hall of 22.4 m2 4.6 s, a classroom of 79.5 m2 0.405 s."""
    hall = Room(
        known(640),
        (
            RoomSurface("Floor", known(160), (0.02,) * 7),
            RoomSurface("Ceiling", known(160), (0.05,) * 7),
            RoomSurface("Walls", known(2 * 4 * 28), (0.05,) * 7),
        ),
    )
    found = surfaces_of(hall)
    assert found is not None
    surface, mean = found
    assert surface * mean == pytest.approx(22.4)
    assert sabine_s(640, surface * mean, 343.0) == pytest.approx(4.6, abs=0.01)
    assert sabine_s(200, 79.5 * SEVEN, 343.0) == pytest.approx(0.405, abs=1e-3)


def test_air_shortens_the_highs() -> None:
    """4 m V at 8 kHz, 20 degC, 50 %: 0.103912 dB/m (RUN) / 4.3429 x 4 x 10 000 m3."""
    air = air_area_m2(10_000, Surroundings(20, 50))
    assert air[6] == pytest.approx(0.103912 / 4.342945 * 4 * 10_000, rel=2e-3)
    assert (np.diff(air) > 0).all()


@pytest.mark.parametrize(
    ("q", "volume", "decay", "metres"),
    [(1, 2000, 1.5, 2.0813), (5, 2000, 1.5, 4.6540), (10, 10_000, 2, 12.7456)],
)
def test_critical_distance(q, volume, decay, metres) -> None:
    """0.057 sqrt(QV/T): RUN pyrato 2.08135, MATH."""
    found = critical_distance_m(np.array([q]), volume, np.array([decay]))[0]
    assert found == pytest.approx(metres, abs=1e-3)


def test_schroeder() -> None:
    """READ: Schroeder 1996. 2000 m3 and 1.5 s: 54.772 Hz; 200 m3 and 2 s: 200 Hz."""
    assert schroeder_hz(2000, 1.5) == pytest.approx(54.772, abs=1e-3)
    assert schroeder_hz(200, 2) == pytest.approx(200)


def test_unknown_surfaces() -> None:
    assert surfaces_of(Room()) is None
    assert surfaces_of(Room(surfaces=(RoomSurface("Wall", UNKNOWN, (0.1,) * 7),))) is None
    part = RoomSurface("Wall", known(10), (None, *(0.1,) * 6))
    found = surfaces_of(Room(surfaces=(part,)))
    assert found is not None and math.isnan(found[1][0]) and found[1][1] == pytest.approx(0.1)


@given(st.floats(0.01, 0.9), st.floats(100, 1e5))
def test_eyring_is_never_longer_than_sabine(absorption: float, volume: float) -> None:
    surface = 6 * volume ** (2 / 3)
    air = air_area_m2(volume, Surroundings())
    sabine = sabine_s(volume, surface * absorption * SEVEN + air, 343.2)
    assert (eyring_s(volume, surface, absorption * SEVEN, air, 343.2) <= sabine).all()
