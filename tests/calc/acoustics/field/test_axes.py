"""Where a box's own ahead, right and up point."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.field.source import axes_of

turns = st.floats(-180, 180)


def test_azimuth_turns_to_the_right_and_tilt_up() -> None:
    """Azimuth 0 looks along y, 90 along +x; tilt 45 looks up."""
    assert axes_of(0, 0)[0] == pytest.approx([0, 1, 0])
    assert axes_of(90, 0)[0] == pytest.approx([1, 0, 0], abs=1e-12)
    assert axes_of(0, 45)[0] == pytest.approx([0, 0.7071068, 0.7071068])
    assert axes_of(0, 0)[1] == pytest.approx([1, 0, 0])  # x lies to its right
    assert axes_of(180, 0)[1] == pytest.approx([-1, 0, 0], abs=1e-12)


def test_a_turned_and_tilted_box_sees_its_own_sides() -> None:
    """Looking along +x and 30 degrees down: the stage's y axis lies level on its left."""
    ahead, right, up = axes_of(90, -30)
    assert right == pytest.approx([0, -1, 0], abs=1e-12)
    assert ahead[2] == pytest.approx(-0.5) and up[2] == pytest.approx(0.8660254)


def test_roll_turns_clockwise_seen_from_behind() -> None:
    """Rolled by 90 degrees its right side looks down and its top to the right."""
    _, right, up = axes_of(0, 0, 90)
    assert right == pytest.approx([0, 0, -1], abs=1e-12)
    assert up == pytest.approx([1, 0, 0], abs=1e-12)


@given(turns, st.floats(-90, 90), turns)
def test_the_three_stay_a_right_handed_frame(azimuth: float, tilt: float, roll: float) -> None:
    axes = axes_of(azimuth, tilt, roll)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-9)
    assert np.cross(axes[1], axes[0]) == pytest.approx(axes[2], abs=1e-9)
