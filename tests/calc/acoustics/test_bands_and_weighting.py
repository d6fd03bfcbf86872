"""Bands against IEC 61260-1, weighting against IEC 61672-1."""

import numpy as np
import pytest

from calc.acoustics import bands
from calc.acoustics.weighting import a_weighting_db

NOMINAL = [
    25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600,
    2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000,
    20000,
]  # fmt: skip
A_AT_NOMINAL = [
    -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8, -3.2,
    -1.9, -0.8, 0.0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
]  # fmt: skip


@pytest.mark.parametrize(
    ("nominal", "exact"),
    [(63, 63.0957), (125, 125.893), (250, 251.189), (500, 501.187), (8000, 7943.28)],
)
def test_exact_mid_bands(nominal: float, exact: float) -> None:
    """IEC 61260-1, base ten (READ for the rule, RUN pyfar)."""
    assert bands.exact_hz(bands.number_of(nominal)) == pytest.approx(exact, rel=1e-5)


def test_nominal_bands_of_iso_266() -> None:
    found = bands.mid_bands_hz()
    assert len(found) == len(NOMINAL)
    assert found == pytest.approx(NOMINAL, rel=0.02)


def test_bands_of_a_way() -> None:
    """80 Hz stands for the band at 79.4 Hz; what lies outside of the map is cut."""
    mids = bands.mid_bands_hz()
    assert mids[bands.between(80, 16000)][0] == pytest.approx(79.43, abs=0.01)
    assert len(mids[bands.between(500, 4000)]) == 10
    assert len(mids[bands.between(16, 20)]) == 0
    assert len(mids[bands.between(22500, 25000)]) == 0
    assert len(mids[bands.between(20, 20000)]) == 30


def test_band_edges_decide() -> None:
    """The 1 kHz third reaches from 891.251 to 1122.018 Hz (IEC 61260-1)."""
    assert bands.number_of(892) == 0 and bands.number_of(1122) == 0
    assert bands.number_of(891) == -1 and bands.number_of(1123) == 1


def test_a_weighting_table() -> None:
    """IEC 61672-1 at exact mid-bands, rounded to 0.1 dB (READ)."""
    assert a_weighting_db(bands.mid_bands_hz()) == pytest.approx(A_AT_NOMINAL, abs=0.06)


@pytest.mark.parametrize(
    ("hz", "level"),
    [
        (31.62, -39.44), (100, -19.14), (501.19, -3.23), (1000, 0), (1995.26, 1.20),
        (7943.28, -1.11), (12589, -4.32), (15849, -6.60), (19953, -9.32),
    ],
)  # fmt: skip
def test_a_weighting_unrounded(hz: float, level: float) -> None:
    """RUN: pyfar `frequency_weighting_curve`."""
    assert a_weighting_db(np.array([hz]))[0] == pytest.approx(level, abs=0.01)
