"""The directivity index against closed forms."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics.directivity.index import index_db, ring_shares, table_index_db
from calc.acoustics.directivity.piston import piston_balloon, piston_pressure, piston_table
from calc.acoustics.directivity.table import polar_grid_deg, table_of
from tests.calc.acoustics.directivity.shapes import balloon_of

POLAR = polar_grid_deg()


def index_of(pressure: np.ndarray) -> float:
    return float(index_db(np.repeat(pressure[None] ** 2, 72, axis=0), POLAR))


@pytest.mark.parametrize(
    ("a", "index"),
    [(1.0, 0.0), (0.0, 4.771), (0.5, 4.771), (0.36603, 5.719), (0.25, 6.021)],
    ids=["all round", "figure of eight", "cardioid", "supercardioid", "hypercardioid"],
)
def test_first_order_patterns(a: float, index: float) -> None:
    """a + (1 - a) cos: MATH, within 0.05 dB on a grid of 5 degrees."""
    assert index_of(a + (1 - a) * np.cos(np.radians(POLAR))) == pytest.approx(index, abs=0.05)


@pytest.mark.parametrize(
    ("ka", "index", "down"),
    [
        (0.5, 3.191, (-0.068, -0.204, -0.273)),
        (1, 3.734, (-0.273, -0.827, -1.109)),
        (2, 5.880, (-1.109, -3.491, -4.781)),
        (3, 9.159, (-2.570, -8.806, -12.916)),
        (5, 14.017, (-8.009, -21.534, -17.652)),
        (10, 20.029, (-17.652, -24.063, -41.215)),
    ],
)
def test_baffled_piston(ka: float, index: float, down: tuple[float, ...]) -> None:
    """RUN phonometry and scipy, formula READ (rd.springer.com 978-1-4615-2027-6_35)."""
    found = piston_pressure(np.array([ka]), np.array([0.0, 30, 60, 90]))[0]
    assert 20 * np.log10(np.abs(found[1:])) == pytest.approx(down, abs=0.002)
    fine = np.arange(0, 180.01, 0.1)
    energy = piston_pressure(np.array([ka]), fine) ** 2
    energy[:, np.abs(fine - 90) < 0.01] /= 2  # the baffle's plane is half in front
    assert index_db(energy, fine) == pytest.approx(index, abs=0.002)


@pytest.mark.parametrize(
    ("across", "up", "index"),
    [(90, 40, 11.093), (60, 40, 12.620), (90, 60, 9.392), (40, 20, 17.232)],
)
def test_a_rectangular_beam_has_molloys_index(across: float, up: float, index: float) -> None:
    """All the power evenly inside of a rectangle: 10 lg of 180 / arcsin(sin a/2 sin b/2)
    (READ, reprint). The rectangle: both plane angles within their half, seen as a pyramid."""
    polar = np.arange(0, 180.01, 0.25)
    t, turn = np.radians(polar)[None, :], np.radians(np.arange(0, 360, 0.5))[:, None]
    ahead, right, over = np.cos(t), np.sin(t) * np.cos(turn), np.sin(t) * np.sin(turn)
    inside = (np.abs(np.arctan2(right, ahead)) <= np.radians(across / 2)) & (
        np.abs(np.arctan2(over, ahead)) <= np.radians(up / 2)
    )
    assert index_db(inside.astype(float), polar) == pytest.approx(index, abs=0.05)


def test_cone() -> None:
    """2 / (1 - cos(a/2)): 90 degrees 8.343 dB, 120 degrees 6.021 dB (MATH)."""
    polar = np.arange(0, 180.01, 0.1)
    for angle, index in ((90, 8.343), (120, 6.021)):
        energy = np.repeat((polar <= angle / 2)[None].astype(float), 4, axis=0)
        assert index_db(energy, polar) == pytest.approx(index, abs=0.02)


def test_rings_cover_the_sphere() -> None:
    assert ring_shares(POLAR).sum() == pytest.approx(1)
    assert ring_shares(POLAR)[18] == pytest.approx(np.sin(np.radians(2.5)))


def test_a_small_piston_fills_its_half_space() -> None:
    """ka towards 0: 3.01 dB, never 0 (MATH)."""
    assert table_index_db(piston_table(0.001, 343.2))[0] == pytest.approx(3.01, abs=0.2)


def test_a_pistons_balloon_is_the_piston() -> None:
    """Also through a description, side lobes with their sign."""
    assert table_of(piston_balloon(0.4, 343.2)) == pytest.approx(piston_table(0.4, 343.2), abs=1e-4)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-30, 0), min_size=36, max_size=36), st.floats(-20, 20))
def test_the_index_is_the_balloons_energy(levels, turn) -> None:
    """What the index says of the axis, the sphere's mean energy must give back; a balloon that
    is louder all over has the same index."""
    level = np.tile(np.array([0.0, *levels]), (72, 1))
    energy = 10 ** (level / 10)
    index = float(index_db(energy, POLAR))
    mean = float((energy.mean(axis=0) * ring_shares(POLAR)).sum())
    assert 10 ** (index / 10) * mean == pytest.approx(1)
    assert index_db(energy * 10 ** (turn / 10), POLAR) == pytest.approx(index)
    assert index >= -0.01


def test_a_balloon_keeps_its_index_through_the_table() -> None:
    cardioid = np.maximum(0.5 + 0.5 * np.cos(np.radians(POLAR)), 1e-5)
    balloon = balloon_of(20 * np.log10(np.tile(cardioid, (72, 1))))
    assert table_index_db(table_of(balloon)) == pytest.approx(4.771, abs=0.05)
    coarse = dataclasses.replace(
        balloon,
        polar_deg=balloon.polar_deg[::2],
        level_db=tuple(tuple(row[::2] for row in band) for band in balloon.level_db),
    )
    assert table_index_db(table_of(coarse)) == pytest.approx(4.771, abs=0.1)
