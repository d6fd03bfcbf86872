"""Grids, heights and directions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.geometry import (
    MOST_POINTS,
    crosses_itself,
    grid_over,
    inside_polygon,
    polygon_area_m2,
)
from tests.calc.builders import area

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
L_SHAPE = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0))


def test_inside_an_l() -> None:
    x, y = np.array([1.0, 3.0, 3.0, 1.0, 5.0]), np.array([1.0, 1.0, 3.0, 3.0, 1.0])
    assert inside_polygon(L_SHAPE, x, y).tolist() == [True, True, False, True, False]


def test_the_edge_belongs_to_the_area_on_all_sides() -> None:
    x, y = np.array([0.0, 4.0, 2.0, 2.0]), np.array([2.0, 2.0, 0.0, 4.0])
    assert inside_polygon(SQUARE, x, y).all()


def test_surface_and_crossing() -> None:
    assert polygon_area_m2(L_SHAPE) == pytest.approx(12)
    assert not crosses_itself(L_SHAPE)
    assert crosses_itself(((0, 0), (4, 4), (4, 0), (0, 4)))
    assert crosses_itself(((0, 0), (4, 0), (4, 4), (2, 0), (0, 4)))


def test_grid_spacing() -> None:
    grid = grid_over(area(corners=SQUARE), 1.0)
    assert grid.x.tolist() == [0.5, 1.5, 2.5, 3.5]
    assert grid.inside.all() and len(grid.points()) == 16


@given(st.floats(1, 400), st.floats(1, 400), st.floats(0.05, 5))
def test_an_area_never_has_too_many_points(width: float, depth: float, spacing: float) -> None:
    corners = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    count = len(grid_over(area(corners=corners), spacing).points())
    assert 1 <= count <= MOST_POINTS


def test_long_diagonal_strip_stays_small() -> None:
    corners = ((0.0, 0.0), (1.0, 0.0), (1000.0, 999.0), (1000.0, 1000.0))
    grid = grid_over(area(corners=corners), 0.05)
    assert grid.inside.size < 40_000


def test_rake_lifts_the_back_row() -> None:
    """Rising 10 degrees away from the stage over 20 m: 3.53 m higher (MATH)."""
    raked = area(
        corners=((0.0, 5.0), (2.0, 5.0), (2.0, 25.0), (0.0, 25.0)),
        floor_z_m=0.5, ear_height_m=1.2, rake_deg=10.0, rake_azimuth_deg=0.0,
    )  # fmt: skip
    grid = grid_over(raked, 1.0)
    front, back = grid.z[0, 0], grid.z[-1, 0]
    assert front == pytest.approx(1.7 + 0.5 * 3.5265 / 20, abs=1e-3)
    assert back - front == pytest.approx(19 * 3.5265 / 20, abs=1e-3)
    assert grid.z[:, 0] == pytest.approx(grid.z[:, 1])


def test_rake_to_the_right_rises_to_the_right() -> None:
    grid = grid_over(area(rake_deg=5.0, rake_azimuth_deg=90.0), 1.0)
    assert grid.z[0, -1] > grid.z[0, 0]
    assert grid.z[0, 0] == pytest.approx(grid.z[-1, 0])
