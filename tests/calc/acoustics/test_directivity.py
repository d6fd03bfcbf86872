"""The drawing rule for directivity."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.bands import mid_bands_hz
from calc.acoustics.directivity import aperture_angle_deg, attenuation_db, half_angles_deg
from calc.acoustics.geometry import Directions


def toward(off_axis: float, across: float = 1.0, up: float = 0.0) -> Directions:
    return Directions(*(np.array([v]) for v in (10.0, off_axis, across, up)))


def test_minus_6_db_at_the_nominal_edge_in_each_plane() -> None:
    """The meaning of a nominal angle: 6 dB down at half of it to each side."""
    high = np.array([8000.0])
    h, v = (half_angles_deg(a, 0.5, high, 343.2) for a in (90, 40))
    assert attenuation_db(toward(45), h, v)[0, 0] == pytest.approx(6)
    assert attenuation_db(toward(20, 0, 1), h, v)[0, 0] == pytest.approx(6)
    assert attenuation_db(toward(0), h, v)[0, 0] == 0


def test_straight_aperture() -> None:
    """2 m at 1 kHz, c = 343 m/s: -6 dB width 11.879 deg (MATH, sinc pattern)."""
    found = aperture_angle_deg(2.0, np.array([1000.0]), 343.0)[0]
    assert found == pytest.approx(11.879, rel=5e-3)


def test_angle_widens_below_the_hold_frequency() -> None:
    hz = np.array([100.0, 200.0, 8000.0, 16000.0])
    half = half_angles_deg(90, 0.4, hz, 343.2)
    assert half[2:] == pytest.approx([45, 45])
    assert half[0] == pytest.approx(2 * half[1])
    assert half[0] > 180


def test_all_round_and_unknown_size() -> None:
    hz = mid_bands_hz()
    all_round = half_angles_deg(360, 0.4, hz, 343.2)
    assert (attenuation_db(toward(180), all_round, all_round) == 0).all()
    assert half_angles_deg(90, None, hz, 343.2) == pytest.approx([45] * len(hz))


@given(st.floats(0, 179), st.floats(0, 1), st.floats(10, 359), st.floats(10, 359))
def test_never_louder_away_from_the_axis_and_never_below_the_floor(angle, up, h, v) -> None:
    hz = mid_bands_hz()
    across = float(np.sqrt(1 - up**2))
    halves = half_angles_deg(h, 0.5, hz, 343.2), half_angles_deg(v, 0.7, hz, 343.2)
    near = attenuation_db(toward(angle, across, up), *halves)
    far = attenuation_db(toward(angle + 1, across, up), *halves)
    assert (near >= 0).all() and (far <= 20).all()
    assert (far >= near).all()
    assert (np.diff(far[0]) >= -1e-9).all()  # and a higher band is never wider
