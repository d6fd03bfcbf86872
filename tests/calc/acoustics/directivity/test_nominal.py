"""The drawing rule from nominal angles."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics.bands import mid_bands_hz
from calc.acoustics.directivity.nominal import (
    aperture_angle_deg,
    half_angles_deg,
    nominal_table,
)


def loss(table: np.ndarray, polar: int, azimuth: int) -> float:
    """dB below the axis in the first band."""
    return float(-20 * np.log10(abs(table[0, azimuth // 5, polar // 5])))


def test_minus_6_db_at_the_nominal_edge_in_each_plane() -> None:
    """The meaning of a nominal angle: 6 dB down at half of it to each side."""
    high = np.array([8000.0])
    table = nominal_table(*(half_angles_deg(a, 0.5, high, 343.2) for a in (90, 40)))
    for azimuth in (0, 180):
        assert loss(table, 45, azimuth) == pytest.approx(6, abs=1e-4)
    for azimuth in (90, 270):
        assert loss(table, 20, azimuth) == pytest.approx(6, abs=1e-4)
    assert loss(table, 0, 35) == 0


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
    assert (nominal_table(all_round, all_round) == 1).all()
    assert half_angles_deg(90, None, hz, 343.2) == pytest.approx([45] * len(hz))


@settings(max_examples=30, deadline=None)
@given(st.floats(10, 359), st.floats(10, 359))
def test_never_louder_away_from_the_axis_and_never_below_the_floor(h, v) -> None:
    hz = mid_bands_hz()
    table = np.abs(
        nominal_table(half_angles_deg(h, 0.5, hz, 343.2), half_angles_deg(v, 0.7, hz, 343.2))
    )
    assert table.max() == 1 and table.min() >= 0.0999999
    assert (np.diff(table, axis=2) <= 0).all()
    assert (np.diff(table, axis=0) <= 1e-6).all()  # and a higher band is never wider
    assert table[:, :37] == pytest.approx(table[:, 72:35:-1])  # above as below
