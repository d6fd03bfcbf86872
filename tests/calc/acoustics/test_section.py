"""Cuts for drawings from the side."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.section import section
from tests.calc.builders import area, placement, system

RAKED = area(
    corners=((-5.0, 5.0), (5.0, 5.0), (5.0, 25.0), (-5.0, 25.0)),
    floor_z_m=0.5, rake_deg=10.0, ear_height_m=1.2,
)  # fmt: skip
L_SHAPE = area(
    "L", corners=((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0))
)
U_SHAPE = area(
    "U",
    corners=((-4.0, 0.0), (4.0, 0.0), (4.0, 9.0), (-4.0, 9.0), (-4.0, 6.0), (2.0, 6.0),
             (2.0, 3.0), (-4.0, 3.0)),
)  # fmt: skip


def test_a_raked_floor_rises_under_the_cut() -> None:
    """10 degrees over 20 m: 3.53 m (MATH)."""
    (floor,) = section(system(areas=(RAKED,))).floors
    assert (floor.from_m, floor.to_m) == (5, 25)
    assert floor.from_z_m == pytest.approx(0.5)
    assert floor.to_z_m == pytest.approx(4.0265, abs=1e-3)
    assert floor.ear_height_m == 1.2


def test_a_hole_between_two_stretches() -> None:
    cuts = section(system(areas=(U_SHAPE,)), x_m=0.0).floors
    assert [(c.from_m, c.to_m) for c in cuts] == [(0, 3), (6, 9)]


def test_across_the_room() -> None:
    (cut,) = section(system(areas=(L_SHAPE,)), x_m=0.0, y_m=3.0, azimuth_deg=90.0).floors
    assert (cut.from_m, cut.to_m) == (pytest.approx(0), pytest.approx(2))


def test_beside_the_area_there_is_no_floor() -> None:
    assert section(system(areas=(RAKED,)), x_m=9.0).floors == ()


def test_floor_and_balcony_in_order() -> None:
    balcony = area("Balcony", floor_z_m=4.0, corners=((-5.0, 12.0), (5.0, 12.0), (5.0, 20.0)))
    cuts = section(system(areas=(balcony, area()))).floors
    assert [cut.area for cut in cuts] == ["Floor", "Balcony"]


def test_boxes_and_their_aims() -> None:
    boxes = (
        placement("Side", x_m=3.0, azimuth_deg=0.0, tilt_deg=-10.0),
        placement("Back", azimuth_deg=180.0, tilt_deg=0.0, y_m=2.0),
    )
    back, side = section(system(placements=boxes, drive_lines=())).boxes
    assert (back.placement, back.along_m, back.aim_deg) == ("Back", 2, pytest.approx(180))
    assert (side.across_m, side.aim_deg) == (3, pytest.approx(-10))


@given(st.floats(-10, 10), st.floats(-170, 170))
def test_cuts_never_overlap(x: float, azimuth: float) -> None:
    cuts = section(system(areas=(U_SHAPE,)), x_m=x, y_m=4.0, azimuth_deg=azimuth).floors
    assert all(cut.from_m < cut.to_m for cut in cuts)
    assert all(a.to_m <= b.from_m for a, b in pairwise(cuts))
