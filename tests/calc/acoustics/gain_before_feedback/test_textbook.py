"""Potential and needed acoustic gain against published figures."""

import math

import pytest

from calc.acoustics.gain_before_feedback.textbook import (
    needed_gain_db,
    potential_gain_db,
    shared_db,
)

OUTDOORS = {
    "source_m": 2.0,
    "farthest_m": 128.0,
    "box_to_microphone_m": 45.0,
    "box_to_farthest_m": 90.0,
}
"""Handbook for Sound Engineers, ch. 34 (READ: issuhub.com/view/index?id=4743, pages 1272, 1281).
Feet there; the sum knows no unit."""


def test_outdoor_example_of_the_handbook() -> None:
    """Its inputs with three open microphones: 30.103 - 4.771 - 6 = 19.332 dB (MATH)."""
    assert potential_gain_db(**OUTDOORS, open_microphones=3) == pytest.approx(19.332, abs=5e-4)


def test_needed_gain_of_the_handbook() -> None:
    """D0 128, equivalent acoustic distance 4: 30.103 dB (READ as above)."""
    assert needed_gain_db(128.0, 4.0) == pytest.approx(30.103, abs=5e-4)


def test_feet_or_metres_give_the_same() -> None:
    metres = {name: 0.3048 * value for name, value in OUTDOORS.items()}
    assert potential_gain_db(**metres) == pytest.approx(potential_gain_db(**OUTDOORS))


@pytest.mark.parametrize(
    ("count", "lost"), [(2, 3.010), (3, 4.771), (4, 6.021), (8, 9.031), (20, 13.010)]
)
def test_open_microphones_share_the_gain(count: int, lost: float) -> None:
    """READ as above: "twenty open mics, 13 dB"; the others follow (MATH)."""
    assert shared_db(count) == pytest.approx(lost, abs=5e-4)


def test_indoors_no_distance_counts_beyond_the_critical_one() -> None:
    """Each squared distance times Dc^2 / (Dc^2 + x^2) (READ as above): at Dc it is 3.010 dB
    less, far away all distances count as Dc."""
    at, far, farther = (needed_gain_db(d, 1e-3, 5.0) for d in (5.0, 5e3, 5e4))
    assert at == pytest.approx(20 * math.log10(5e3) - 3.0103, abs=1e-3)
    assert far == pytest.approx(20 * math.log10(5e3), abs=1e-3)
    assert farther == pytest.approx(far, abs=1e-3)


def test_a_huge_room_is_outdoors() -> None:
    assert potential_gain_db(**OUTDOORS, critical_m=1e9) == pytest.approx(
        potential_gain_db(**OUTDOORS)
    )
