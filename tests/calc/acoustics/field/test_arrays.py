"""Interference with known answers (MATH; far field means many times farther than the array)."""

import math

import numpy as np
import pytest

from calc.acoustics.air import speed_of_sound
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.kernel import Medium, coherent_field
from calc.acoustics.field.source import stacked
from calc.system import Surroundings
from tests.calc.acoustics.field.builders import round_source

AIR = Surroundings()
SPEED = 343.0
FAR = 100_000.0


def pressure(sources, points, hz: float) -> np.ndarray:
    """Magnitude at one frequency without air: three equal lines make one whole band."""
    medium = Medium(np.full(3, hz), np.zeros(1, dtype=np.float32), SPEED)
    stack = stacked(sources, slice(0, 1), slice(0, 3))
    return np.abs(coherent_field(stack, np.asarray(points, dtype=float), medium)[0])


def toward(*angles: float) -> np.ndarray:
    """Far points at angles from y towards x, in degrees."""
    turn = np.radians(angles)
    return FAR * np.column_stack([np.sin(turn), np.cos(turn), 0 * turn])


def db(ratio: np.ndarray | float) -> np.ndarray:
    return 20 * np.log10(np.maximum(ratio, 1e-9))


def pair(spacing: float):
    return [round_source((-spacing / 2, 0, 0)), round_source((spacing / 2, 0, 0))]


@pytest.mark.parametrize(
    ("angle", "hz"), [(30, 171.5), (30, 514.5), (90, 85.75), (90, 257.25), (25.388, 200.0)]
)
def test_nulls_of_two_sources(angle: float, hz: float) -> None:
    """d sin t = (n + 1/2) wavelengths, 2 m apart, c = 343 m/s."""
    at, ahead = pressure(pair(2.0), toward(angle, 0), hz)
    assert db(at / ahead) < -60
    assert db(ahead * FAR) == pytest.approx(6.021, abs=1e-3)


@pytest.mark.parametrize(
    ("degrees", "sum_db"),
    [(0, 6.021), (60, 4.771), (90, 3.010), (120, 0.0), (150, -5.719)],
)
def test_sum_against_phase(degrees: float, sum_db: float) -> None:
    sources = [round_source(), round_source(delay_s=degrees / 360 / 1000)]
    assert db(pressure(sources, toward(0), 1000.0)[0] * FAR) == pytest.approx(sum_db, abs=1e-3)


@pytest.mark.parametrize(
    ("less", "most", "least"),
    [(1, 5.535, -19.27), (3, 4.649, -10.69), (6, 3.529, -6.041), (10, 2.387, -3.302)],
)
def test_ripple_of_unequal_sources(less: float, most: float, least: float) -> None:
    """1 ms of delay: up at whole, down at half kilohertz."""
    other = round_source(delay_s=1e-3, gain=np.full(90, 10 ** (-less / 20), dtype=complex))
    for hz, level in ((1000.0, most), (500.0, least), (1500.0, least)):
        found = db(pressure([round_source(), other], toward(0), hz)[0] * FAR)
        assert found == pytest.approx(level, abs=5e-3)


def test_gradient_pair() -> None:
    """The rear one inverted and delayed by d/c: a null behind, 20 lg(2 |sin kd|) ahead and
    20 lg(2 |sin(kd/2)|) aside (method READ: soundengg.com/blog/subwoofer-arrays.html)."""
    d = 0.857
    rear = round_source((0, -d, 0), gain=np.full(90, -1.0 + 0j), delay_s=d / SPEED)
    rig = [round_source(), rear]
    known = ((25, -2.327), (50, 3.006), (80, 5.583), (100, 6.021), (125, 5.337))
    for hz, ahead_db in known:
        ahead, behind, aside = pressure(rig, toward(0, 180, 90), hz) * FAR
        assert db(ahead) == pytest.approx(ahead_db, abs=0.01)
        assert db(behind) < -50
        k = 2 * math.pi * hz / SPEED
        assert db(aside) == pytest.approx(db(2 * abs(math.sin(k * d / 2))), abs=0.01)
    assert db(pressure(rig, toward(0), SPEED / (2 * d))[0] * FAR) < -50


@pytest.mark.parametrize(
    ("count", "hz", "rear_db"),
    [
        (4, 40, -22.14), (4, 63, -11.30), (4, 80, -19.76), (4, 100, -13.01), (4, 125, -21.19),
        (2, 40, -2.58), (2, 63, -7.86), (2, 80, -19.56),
    ],
)  # fmt: skip
def test_end_fire(count: int, hz: float, rear_db: float) -> None:
    """Boxes 1 m behind each other, delayed forwards: 20 lg N ahead, the rest behind."""
    rig = [round_source((0, i, 0), delay_s=i / SPEED) for i in range(count)]
    ahead, behind = pressure(rig, toward(0, 180), hz)
    assert db(ahead * FAR) == pytest.approx(20 * math.log10(count), abs=1e-3)
    assert db(behind / ahead) == pytest.approx(rear_db, abs=0.01)


@pytest.mark.parametrize("hz", [42.875, 85.75, 128.625])
def test_nulls_behind_an_end_fire(hz: float) -> None:
    rig = [round_source((0, i, 0), delay_s=i / SPEED) for i in range(4)]
    ahead, behind = pressure(rig, toward(0, 180), hz)
    assert db(behind / ahead) < -50


def line(length: float, count: int):
    places = (np.arange(count) + 0.5) / count * length - length / 2
    gain = np.full(90, 1 / count, dtype=complex)
    return [round_source((0, 0, z), gain=gain) for z in places]


def test_distance_law_of_a_4_m_line() -> None:
    """Level change per doubling from 0.5 m, 1 kHz (MATH, 20 001 points there; 0.05 dB)."""
    rig = line(4.0, 1001)
    points = [(0.0, 0.5 * 2**n, 0.0) for n in range(10)]
    level = db(pressure(rig, points, 1000.0))
    law = [-3.11, -2.12, -2.59, -5.31, 0.36, -4.44, -5.63, -5.92, -6.00]
    assert np.diff(level) == pytest.approx(law, abs=0.05)


def test_beam_of_a_2_m_line() -> None:
    """1 kHz: first null at 9.875 degrees, -3 dB 8.713 wide, -6 dB 11.879 wide."""
    rig = line(2.0, 401)
    turn = np.radians([0.0, 9.875, 8.713 / 2, 11.879 / 2])
    points = FAR * np.column_stack([0 * turn, np.cos(turn), np.sin(turn)])
    level = db(pressure(rig, points, 1000.0))
    level -= level[0]
    assert level[1] < -50
    assert level[2:] == pytest.approx([-3.01, -6.02], abs=0.02)


def test_one_of_four_reversed() -> None:
    """Four adjacent subs, one reversed: 6 dB less than right, the shape unchanged (MATH)."""
    right = [round_source((0.01 * i, 0, 0)) for i in range(4)]
    wrong = [*right[:3], round_source((0.03, 0, 0), gain=np.full(90, -1.0 + 0j))]
    point = np.array([[0.0, 20.0, 0.0]])
    lost = band_energy(right, point, AIR, 0)[0, 3] / band_energy(wrong, point, AIR, 0)[0, 3]
    assert 10 * math.log10(lost) == pytest.approx(6.02, abs=0.02)


@pytest.mark.parametrize(("levels", "total"), [([85, 85], 88.010), ([80, 83, 90], 91.138)])
def test_groups_add_by_energy(levels, total) -> None:
    """85 + 85 = 88.010; 80 + 83 + 90 = 91.138 dB; inside one group in phase (MATH)."""
    gains = [np.full(90, 10 ** (level / 20) / math.sqrt(3), dtype=complex) for level in levels]
    apart = [round_source(gain=g, group=str(i)) for i, g in enumerate(gains)]
    point = np.array([[0.0, 1.0, 0.0]])
    loss = 10 * np.log10(band_energy([round_source()], point, AIR, 0)[0] / 3)
    found = 10 * np.log10(band_energy(apart, point, AIR, 0)[0]) - loss
    assert found == pytest.approx([total] * 30, abs=1e-3)
    below = 10 * np.log10(band_energy(apart, point, AIR, 150)[0]) - loss
    in_phase = 20 * math.log10(sum(10 ** (level / 20) for level in levels))
    assert below[:8] == pytest.approx([in_phase] * 8, abs=1e-3)  # 25 to 125 Hz
    assert below[8:] == pytest.approx([total] * 22, abs=1e-3)


def test_time_of_flight() -> None:
    """A delay that makes up for 3.432 m at 20 degC lets both arrive together."""
    late = round_source((0, 3.432, 0), delay_s=3.432 / speed_of_sound(20))
    points = np.array([[0.0, FAR, 0.0]])
    both = band_energy([round_source(), late], points, Surroundings(), 0)[0, :10]
    one = band_energy([round_source()], points, Surroundings(), 0)[0, :10]
    assert 10 * np.log10(both / one) == pytest.approx([6.021] * 10, abs=0.01)
