"""Symmetric parts, refusals, interpolation."""

import dataclasses
import math

import numpy as np
import pytest

from calc.acoustics.directivity.table import balloon_faults, table_of
from tests.calc.acoustics.directivity.shapes import balloon_of, slope

WHOLE = balloon_of(slope())


def part(low: int, high: int):
    """The balloon with only the azimuths from low to high degrees."""
    turn = np.arange(low, high + 1, 5)
    return balloon_of(slope()[(turn // 5) % 72], turn)


@pytest.mark.parametrize(("low", "high"), [(0, 90), (0, 180), (-90, 90)])
def test_symmetric_parts_are_completed(low: int, high: int) -> None:
    assert not list(balloon_faults(part(low, high)))
    assert table_of(part(low, high)) == pytest.approx(table_of(WHOLE), abs=1e-6)


def test_only_the_missing_half_is_mirrored() -> None:
    """Louder above than below: the left mirrors the right, above stays above."""
    turn = np.arange(-90, 91, 5)
    level = np.where(turn[:, None] > 0, 0.0, -6.0) * (np.arange(37) > 0)
    table = np.abs(table_of(balloon_of(level, turn)))[16]
    assert table[18, 10] == table[27, 10] == 1  # 90 and 135 degrees: above
    assert 20 * np.log10(table[[54, 45, 63], 10]) == pytest.approx([-6] * 3)


def test_ten_degrees_go_straight_in_db() -> None:
    coarse = balloon_of(
        slope()[::2, ::2],
        np.arange(0, 360, 10),
        polar_deg=tuple(np.arange(0.0, 181, 10).tolist()),
    )
    table = 20 * np.log10(np.abs(table_of(coarse)))[16]
    assert table[0, 3] == pytest.approx(-0.05 * 15, abs=1e-4)
    assert table[18, 3] == pytest.approx(-0.1 * 15, abs=1e-4)


def test_bands_take_the_nearest_that_is_there() -> None:
    level = np.stack([slope(), 2 * slope()])
    both = balloon_of(
        slope(),
        band_hz=(100.0, 10_000.0),
        level_db=tuple(tuple(map(tuple, band.tolist())) for band in level),
    )
    table = 20 * np.log10(np.abs(table_of(both)))[:, 0, 10]
    assert table[0] == table[15] == pytest.approx(-2.5, abs=1e-4)
    assert table[-1] == table[20] == pytest.approx(-5.0, abs=1e-4)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"polar_deg": tuple(np.arange(0.0, 91, 5).tolist())}, "from 0 (the axis) to 180"),
        ({"polar_deg": (0.0, *np.arange(10.0, 181, 5).tolist(), 180.0)}, "rise evenly"),
        ({"azimuth_deg": tuple(np.arange(0.0, 100, 5).tolist())}, "azimuths must go evenly"),
        ({"band_hz": (2000.0, 1000.0)}, "bands must rise"),
        ({"level_db": ((0.0,) * 37,)}, "levels must be 1 bands x 72 azimuths x 37 polars"),
        ({"level_db": ((((math.nan,) * 37),) * 72,)}, "no numbers"),
        ({"level_db": ((((-3.0,) * 37),) * 72,)}, "on the axis must be 0 dB"),
        ({"level_db": (((0.0,) * 36 + (99.0,),) * 72,)}, "60 dB re the axis at most"),
        ({"phase_deg": ((((0.0,) * 36),) * 72,)}, "phases must be"),
        ({"basis": "unknown"}, "must say whether"),
    ],
)
def test_faults_are_told(changes, words: str) -> None:
    assert any(words in fault for fault in balloon_faults(dataclasses.replace(WHOLE, **changes)))
