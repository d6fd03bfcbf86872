"""A real 24-bit recording, from the file as a person would send it to the levels that are shown.

Values: the recording's own samples by plain arithmetic and by three programs' filters (RUN; the
thirds by brick-wall FFT). Where a band's neighbour is more than 6 dB higher, real filters let
some of it through: 1.3 dB there, else 0.25 dB.
"""

import numpy as np
import pytest

from calc.signals.measuring.levels import levels
from rigs.tuning.wav import blocks, read_header
from tests.reference.recordings import AIRCRAFT, file_of

RE_1_KHZ_DB = (
    3.29, 4.38, 0.07, 12.47, 6.43, 10.71, 6.56, 8.04, 5.59, 3.35, 0.60, 0.59,
    -0.49, 0.0, 0.79, 1.30, 0.91, -3.25, -6.25, -8.13, -12.23, -21.16, -30.62, -43.39,
)  # fmt: skip
"""dB, third octaves from 50 Hz to 10 kHz."""


@pytest.fixture(scope="module")
def heard() -> tuple[np.ndarray, float]:
    """Its first channel as our own reader gives it, and the sampling rate."""
    with file_of(AIRCRAFT).open("rb") as file:
        wav = read_header(file)
        assert (wav.bits, wav.kind) == (24, "integer")
        return np.concatenate(list(blocks(file, wav)))[:, 0], float(wav.rate_hz)


def test_24_bits_are_read_to_the_last(heard) -> None:
    samples = heard[0].astype(np.float64)
    rms = np.sqrt(np.mean(samples**2))
    assert 20 * np.log10(rms) == pytest.approx(-19.037, abs=0.001)
    assert 20 * np.log10(np.abs(samples).max() / rms) == pytest.approx(13.136, abs=0.001)


def test_weighted_levels(heard) -> None:
    """Against the samples' own rms: our unweighted level leaves out what lies below 10 Hz."""
    found = levels(*heard)[0]
    whole = 10 * np.log10(np.mean(heard[0].astype(np.float64) ** 2))
    assert found.a_db - whole == pytest.approx(-7.544, abs=0.05)
    assert 0 < whole - found.z_db < 0.2


def test_third_octaves(heard) -> None:
    found = levels(*heard)[0]
    by_band = dict(zip(found.frequency_hz, found.level_db, strict=True))
    shown = [level for hz, level in by_band.items() if 49 < hz < 10_500]
    reference = next(level for hz, level in by_band.items() if 990 < hz < 1010)
    assert None not in shown and reference is not None
    off = np.array(shown) - reference - np.array(RE_1_KHZ_DB)
    steps = np.diff(np.array(RE_1_KHZ_DB))
    beside = np.zeros(len(off))
    beside[:-1] = np.maximum(beside[:-1], steps)
    beside[1:] = np.maximum(beside[1:], -steps)
    assert (np.abs(off) <= np.where(beside > 6, 1.3, 0.25)).all(), np.round(off, 2)
