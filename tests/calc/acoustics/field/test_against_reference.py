"""The fast field against the plain loop, on random rigs."""

import dataclasses

import numpy as np
import pytest

from calc.acoustics import bands
from calc.acoustics.field import energy as energy_module
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource, axes_of
from calc.system import Surroundings
from tests.calc.acoustics.field.builders import BANDS, LINES
from tests.calc.acoustics.field.reference import reference_energy

AIR = Surroundings(27.0, 35.0, 98.0)


def random_rig(seed: int, count: int) -> list[PointSource]:
    """Boxes within a stage's width, with smooth complex balloons and any gain, delay and aim."""
    draw = np.random.default_rng(seed)
    polar, turn = np.radians(5.0 * np.arange(37)), np.radians(5.0 * np.arange(73))
    size = np.geomspace(0.1, 4, BANDS)[:, None, None]
    tables = []
    for lean in (0.0, 0.4):
        shape = -size * (1 + lean * np.cos(2 * turn))[None, :, None] * polar**2
        phase = 1j * size * 0.5 * np.sin(polar) * np.cos(turn)[None, :, None]
        tables.append(np.maximum(np.exp(shape), 0.1) * np.exp(phase))
    tables = [table.astype(np.complex64) for table in tables]
    return [
        PointSource(
            position_m=tuple(draw.uniform((-8, -1, 0.5), (8, 1, 6))),
            axes=axes_of(*draw.uniform((-60, -40, -90), (60, 10, 90))),
            table=tables[index % 2],
            gain=draw.uniform(0.3, 1, LINES) * np.exp(1j * draw.uniform(-3, 3, LINES)),
            delay_s=float(draw.uniform(0, 0.02)),
            group=("left", "right", "fills")[index % 3] if index % 4 else f"own {index}",
        )
        for index in range(count)
    ]


def points_of(seed: int, count: int) -> np.ndarray:
    draw = np.random.default_rng(100 + seed)
    return draw.uniform((-15, -3, 0.5), (15, 50, 5), (count, 3))


def off_db(sources, points, below: float) -> np.ndarray:
    fast = band_energy(sources, points, AIR, below)
    return np.abs(10 * np.log10(fast / reference_energy(sources, points, AIR, below)))


@pytest.mark.parametrize("below", [0.0, 150.0, 1e6])
def test_within_a_thousandth_of_a_decibel(below: float) -> None:
    off = off_db(random_rig(1, 8), points_of(1, 40), below)
    assert np.quantile(off, 0.999) < 1e-3
    assert off.max() < 0.01


def test_near_the_box_on_its_axis_and_behind_it() -> None:
    sources = random_rig(2, 1)
    ahead = np.array(sources[0].axes[0])
    middle = np.array(sources[0].position_m)
    points = np.array([middle, middle + 0.1 * ahead, middle + 7 * ahead, middle - 7 * ahead])
    assert off_db(sources, points, 0.0).max() < 1e-3


def test_blocks_threads_and_chunks_change_nothing(monkeypatch) -> None:
    sources, points = random_rig(3, 7), points_of(3, 300)
    whole = band_energy(sources, points, AIR, 150.0)
    monkeypatch.setattr(energy_module, "SOURCES", 3)
    monkeypatch.setattr(energy_module, "CELLS_OF_A_THREAD", 200)
    monkeypatch.setattr(energy_module, "THREADS_FROM_LINES", 1)
    parts = band_energy(sources, points, AIR, 150.0)
    assert parts == pytest.approx(whole, rel=2e-4)
    for _ in range(3):
        assert np.array_equal(band_energy(sources, points, AIR, 150.0), parts)


def test_small_blocks_change_nothing(monkeypatch) -> None:
    sources, points = random_rig(3, 7), points_of(3, 300)
    whole = band_energy(sources, points, AIR, 150.0)
    monkeypatch.setattr(energy_module, "CELLS", 200)
    assert band_energy(sources, points, AIR, 150.0) == pytest.approx(whole, rel=2e-4)


def test_another_field_leaves_the_first_as_it_was() -> None:
    """The arithmetic's own arrays are written over by the next field; answers are not."""
    sources, points = random_rig(5, 6), points_of(5, 200)
    first = band_energy(sources, points, AIR, 150.0)
    kept = first.copy()
    band_energy(random_rig(6, 9), points_of(6, 250), AIR, 0.0)
    assert np.array_equal(first, kept)
    assert np.array_equal(band_energy(sources, points, AIR, 150.0), kept)


def test_silent_sources_and_no_points() -> None:
    sources, points = random_rig(4, 3), points_of(4, 5)
    mute = dataclasses.replace(sources[0], gain=np.zeros(LINES, dtype=complex))
    with_it = band_energy([*sources, mute], points, AIR, 150.0)
    assert with_it == pytest.approx(band_energy(sources, points, AIR, 150.0), rel=1e-4)
    assert (band_energy([mute], points, AIR, 150.0) == 0).all()
    assert band_energy([], points, AIR, 150.0).shape == (5, BANDS)
    assert band_energy(sources, points[:0], AIR, 150.0).shape == (0, BANDS)


def test_each_band_holds_its_own_three_lines() -> None:
    """IEC 61260-1 edges, middle x 10^(+-1/20); the middle line lies within 1.4 %."""
    numbers = range(-17, 14)
    lines = bands.lines_of(numbers).reshape(-1, 3)
    middle = np.array([bands.exact_hz(n) for n in numbers])
    assert (lines[:, 0] > middle * 10**-0.05).all() and (lines[:, 2] < middle * 10**0.05).all()
    assert lines[:, 1] == pytest.approx(middle, rel=0.014)
    assert lines.ravel()[9:] == pytest.approx(2 * lines.ravel()[:-9])
    assert bands.lines_of(bands.band_numbers()).shape == (LINES,)
