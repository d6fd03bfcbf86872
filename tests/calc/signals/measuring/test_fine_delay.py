"""Delays between samples, told from the transfer functions that pages show."""

import numpy as np
import pytest

from calc.signals.measuring.fine_delay import fine_delay
from calc.signals.measuring.played import exponential_sweep
from calc.signals.measuring.sweep import divided
from calc.signals.measuring.sweep_transfer import sweep_transfer
from calc.signals.measuring.transfer import transfer

FS = 48_000


def late(signal: np.ndarray, seconds: float) -> np.ndarray:
    """Exactly later, between samples too: by turning its phases (MATH)."""
    size = 2 * len(signal)
    turn = np.exp(-2j * np.pi * np.fft.rfftfreq(size, 1 / FS) * seconds)
    return np.fft.irfft(np.fft.rfft(signal, size) * turn)[: len(signal)]


@pytest.mark.parametrize("seconds", [0.005, 0.0100073, 0.0337119])
@pytest.mark.parametrize("sign", [1, -1])
def test_noise_gives_it_between_samples_and_its_polarity(seconds: float, sign: int) -> None:
    rng = np.random.default_rng(5)
    played = rng.normal(size=10 * FS)
    heard = sign * late(played, seconds) + 0.1 * rng.normal(size=len(played))
    found = fine_delay(transfer(played, heard, FS))
    assert found is not None
    assert found.delay_ms == pytest.approx(1000 * seconds, abs=0.002)
    assert found.within_ms < 0.02 and found.inverted == (sign < 0)


def test_a_sweep_gives_it_too() -> None:
    played = exponential_sweep(3.0, FS).samples
    heard = late(played, 0.0123456) + 1e-4 * np.random.default_rng(1).normal(size=len(played))
    response = divided(heard, played, FS)[0]
    found = fine_delay(sweep_transfer(response))
    assert found is not None and found.delay_ms == pytest.approx(12.3456, abs=0.005)
