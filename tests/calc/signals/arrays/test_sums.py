"""The complex sum against closed forms (MATH) and the field's plain complex128 double."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.signals.arrays.sums import (
    Elements,
    band_power,
    direction_of,
    far_sum,
    lines_in,
    near_sum,
)
from calc.system import Surroundings
from tests.calc.acoustics.field.builders import round_source
from tests.calc.acoustics.field.reference import reference_energy

C = 343.0


def elements(positions, delays=None, signs=None) -> Elements:
    count = len(positions)
    return Elements(
        np.array(positions, dtype=float),
        np.zeros(count) if delays is None else np.array(delays, dtype=float),
        np.ones(count) if signs is None else np.array(signs, dtype=float),
    )


def db(value) -> float:
    return 20 * math.log10(max(abs(complex(value)), 1e-12))


def at(array: Elements, azimuth: float, hz: float) -> complex:
    return complex(far_sum(array, direction_of(np.array([azimuth])), np.array([hz]), C)[0, 0])


@pytest.mark.parametrize(
    ("angle", "hz"), [(30, 171.5), (30, 514.5), (90, 85.75), (90, 257.25), (25.388, 200.0)]
)
def test_nulls_of_two_boxes_2_m_apart(angle: float, hz: float) -> None:
    """checks.md 7: d sin t = (n + 1/2) wavelengths, c = 343 m/s."""
    pair = elements([(-1, 0, 0), (1, 0, 0)])
    assert db(at(pair, angle, hz)) < -60
    assert db(at(pair, 0, hz)) == pytest.approx(6.021, abs=1e-3)


def test_gradient_pair() -> None:
    """checks.md 7 (method READ: soundengg.com/blog/subwoofer-arrays.html): d = 0.857 m."""
    d = 0.857
    pair = elements([(0, 0, 0), (0, -d, 0)], [0, d / C], [1, -1])
    for hz, ahead in ((25, -2.327), (50, 3.006), (80, 5.583), (100, 6.021), (125, 5.337)):
        assert db(at(pair, 0, hz)) == pytest.approx(ahead, abs=0.01)
        assert db(at(pair, 180, hz)) < -100
        aside = 20 * math.log10(2 * abs(math.sin(math.pi * hz * d / C)))
        assert db(at(pair, 90, hz)) == pytest.approx(aside, abs=0.01)
    assert db(at(pair, 0, 200.1)) < -40  # c/2d


@pytest.mark.parametrize(
    ("count", "hz", "rear"),
    [
        (4, 40, -22.14), (4, 63, -11.30), (4, 80, -19.76), (4, 100, -13.01), (4, 125, -21.19),
        (2, 40, -2.58), (2, 63, -7.86), (2, 80, -19.56),
    ],
)  # fmt: skip
def test_end_fire(count: int, hz: float, rear: float) -> None:
    """checks.md 7: 1 m steps; 20 lg N ahead, the array factor at 2kd behind."""
    row = elements([(0, i, 0) for i in range(count)], [i / C for i in range(count)])
    assert db(at(row, 0, hz)) == pytest.approx(20 * math.log10(count), abs=1e-3)
    assert db(at(row, 180, hz) / at(row, 0, hz)) == pytest.approx(rear, abs=0.01)


@pytest.mark.parametrize("hz", [42.875, 85.75, 128.625])
def test_nulls_behind_an_end_fire(hz: float) -> None:
    row = elements([(0, i, 0) for i in range(4)], [i / C for i in range(4)])
    assert db(at(row, 180, hz)) < -100


def test_a_fine_straight_line_is_a_sinc() -> None:
    """checks.md 7: L = 2 m at 1 kHz, first null 9.875 degrees, -3 dB at 4.3565, -6 at 5.9395."""
    line = elements([((i + 0.5) / 400 * 2 - 1, 0, 0) for i in range(400)])
    ahead = at(line, 0, 1000)
    assert db(at(line, 9.875, 1000) / ahead) < -60
    assert db(at(line, 8.713 / 2, 1000) / ahead) == pytest.approx(-3.01, abs=0.02)
    assert db(at(line, 11.879 / 2, 1000) / ahead) == pytest.approx(-6.02, abs=0.02)


places = st.tuples(st.floats(-4, 4), st.floats(-4, 4), st.floats(0, 2))
arrays = st.lists(st.tuples(places, st.floats(0, 0.01), st.sampled_from([1.0, -1.0])), min_size=2)


@settings(max_examples=30, deadline=None)
@given(arrays.filter(lambda a: len(a) <= 5), st.floats(-180, 180))
def test_near_sum_against_the_field_s_plain_double(array, azimuth: float) -> None:
    """Same boxes, same air, loop in complex128 over every source and line; no air loss here."""
    point = 20 * direction_of(np.array([azimuth]))
    air = Surroundings()
    ours = elements([p for p, _, _ in array], [d for _, d, _ in array], [s for *_, s in array])
    hz = (40.0, 80.0, 125.0)
    found = band_power(near_sum(ours, point, lines_in(hz), speed_of_sound(20)))[0]
    sources = [round_source(p, delay_s=d, gain=np.full(90, s, dtype=complex)) for p, d, s in array]
    whole = reference_energy(sources, point, air, 0)[0]
    numbers = [bands.number_of(f) - bands.LOWEST for f in hz]
    loss = loss_db_per_m(bands.mid_bands_hz()[numbers], air) * 20
    wanted = whole[numbers] / 3 * 10 ** (loss / 10)
    assert found == pytest.approx(wanted, rel=2e-3, abs=1e-7)


@settings(max_examples=30, deadline=None)
@given(arrays, st.floats(-180, 180), st.tuples(*3 * [st.floats(-50, 50)]))
def test_moved_as_a_whole_it_sounds_the_same(array, azimuth: float, by) -> None:
    ours = elements([p for p, _, _ in array], [d for _, d, _ in array], [s for *_, s in array])
    moved = Elements(ours.position_m + np.array(by), ours.delay_s + 0.002, ours.sign)
    hz, toward = np.array([30.0, 63.0, 125.0]), direction_of(np.array([azimuth]))
    there, here = far_sum(moved, toward, hz, C), far_sum(ours, toward, hz, C)
    assert np.abs(there) == pytest.approx(np.abs(here), abs=1e-6)


def test_far_away_near_and_far_agree() -> None:
    row = elements([(0, i, 0) for i in range(4)], [i / C for i in range(4)])
    hz, toward = np.array([50.0, 100.0]), direction_of(np.array([0.0, 60.0, 150.0]))
    near = np.abs(near_sum(row, row.middle + 100_000 * toward, hz, C)) * 100_000
    assert near == pytest.approx(np.abs(far_sum(row, toward, hz, C)), abs=1e-3)
