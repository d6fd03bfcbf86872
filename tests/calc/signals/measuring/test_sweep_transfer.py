"""A sweep's transfer function and outline against responses that are known beforehand."""

import numpy as np
import pytest

from calc.signals.measuring.outline import outline_of
from calc.signals.measuring.sweep import response_of
from calc.signals.measuring.sweep_transfer import sweep_transfer

RATE_HZ = 48_000
LENGTH = 2 * RATE_HZ


def arrivals(*at: tuple[int, float]):
    response = np.zeros(LENGTH)
    for sample, size in at:
        response[sample] = size
    return response


def test_one_arrival_is_flat_and_without_phase():
    found = sweep_transfer(response_of(arrivals((4800, 0.5)), RATE_HZ))
    assert found.delay_ms == pytest.approx(100.0)
    assert 20 * np.log10(np.abs(found.response)) == pytest.approx(
        np.full(len(found.response), -6.0206), abs=1e-3
    )
    assert np.abs(np.angle(found.response)).max() < 1e-6


def test_an_echo_makes_the_holes_of_its_delay():
    # Equal sizes 1 ms apart cancel at 500 Hz and add to 6.02 dB at 1 kHz (MATH).
    found = sweep_transfer(response_of(arrivals((4800, 1.0), (4848, 0.999)), RATE_HZ))
    level = 20 * np.log10(np.abs(found.response) + 1e-9)
    at = [int(np.argmin(np.abs(found.frequency_hz - hz))) for hz in (500, 1000)]
    assert level[at[0]] < -30
    assert level[at[1]] == pytest.approx(6.02, abs=0.1)


def test_noise_is_not_believed_where_it_rules():
    noise = np.random.default_rng(4).standard_normal(LENGTH)
    quiet = sweep_transfer(response_of(arrivals((4800, 1.0)) + 1e-6 * noise, RATE_HZ))
    loud = sweep_transfer(response_of(arrivals((4800, 1.0)) + 2e-2 * noise, RATE_HZ))
    assert quiet.coherence.min() > 0.99
    assert np.median(loud.coherence) < 0.5


def test_a_response_that_ends_at_once_says_that_its_noise_is_unknown():
    found = sweep_transfer(response_of(arrivals((100, 1.0))[:30_000], RATE_HZ))
    assert "run on" in found.cannot[0]


def test_the_outline_falls_as_the_energy_does():
    times = np.arange(LENGTH) / RATE_HZ
    tail = np.random.default_rng(1).standard_normal(LENGTH) * 10 ** (-3 * times / 0.6)
    found = outline_of(response_of(tail, RATE_HZ))
    known = [
        (found.start_ms + n * found.step_ms, level)
        for n, level in enumerate(found.energy_db)
        if level is not None and -40 < level < -5
    ]
    slope = np.polyfit(*zip(*known, strict=True), 1)[0]
    # 60 dB in 0.6 s are 0.1 dB in a millisecond (MATH).
    assert slope == pytest.approx(-0.1, rel=0.05)
    assert max(found.peak_db) == 0
    assert len(found.peak_db) <= 300
