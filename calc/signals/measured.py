"""Measured responses: between their points, and when they arrive."""

import math

import numpy as np
from numpy.typing import NDArray

from calc.signals.minimum_phase import minimum_phase_deg
from calc.system import MeasuredResponse

LOUD_DB = 10.0
"""Only what lies within so much of the loudest counts for the arrival. Own choice."""

OWN_PER_OCTAVE = 24

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


def measured_at(response: MeasuredResponse, hz: Floats) -> Complex:
    """The response, arrival and all, at other frequencies; 0 beyond its ends.

    The arrival is taken out of the phase before it goes straight from point to point, so that
    it may turn several times in between.
    """
    have, level = np.array(response.frequency_hz), np.array(response.level_db)
    bulk = _left_ms(response)
    turned = np.radians(np.array(response.phase_deg)) + 2 * np.pi * have * bulk / 1000
    phase = np.interp(hz, have, np.unwrap(turned))
    inside = (hz >= have[0]) & (hz <= have[-1])
    size = 10 ** (np.interp(np.log(hz), np.log(have), level) / 20) * inside
    late = bulk + response.removed_ms
    found: Complex = size * np.exp(1j * (phase - 2 * np.pi * hz * late / 1000))
    return found


def arrival_ms(response: MeasuredResponse) -> float:
    """When it arrives: the delay beyond what a minimum-phase response of its level has."""
    return _left_ms(response) + response.removed_ms


def _left_ms(response: MeasuredResponse) -> float:
    """The delay left in the phase, ms: the best line through what minimum phase leaves over."""
    hz, level = np.array(response.frequency_hz), np.array(response.level_db)
    loud = level >= level.max() - LOUD_DB
    if loud.sum() < 2:
        return 0.0
    over = np.radians(np.array(response.phase_deg) - _own_phase_deg(hz, level))
    turn = (np.gradient(np.log(hz)) * 10 ** (level / 20) * np.exp(1j * over))[loud]
    return _fine(hz[loud], turn, _coarse(hz[loud], turn))


def _own_phase_deg(hz: Floats, level: Floats) -> Floats:
    """Minimum phase at every point, worked out on few: a file may have many thousands."""
    count = 2 + math.ceil(OWN_PER_OCTAVE * math.log2(hz[-1] / hz[0]))
    few = np.geomspace(hz[0], hz[-1], count)
    phase = minimum_phase_deg(few, np.interp(np.log(few), np.log(hz), level), few)
    return np.interp(np.log(hz), np.log(few), phase)


def _coarse(hz: Floats, turn: Complex) -> float:
    """ms, from neighbouring points: the closest ones first, as they turn least."""
    apart = np.diff(hz)
    step = turn[1:] * turn[:-1].conj()
    found = 0.0
    for some in (apart <= np.quantile(apart, 0.25), apart > 0, apart > 0):
        left = -np.angle(step * np.exp(2j * np.pi * apart * found / 1000)) / (2 * np.pi * apart)
        found += 1000 * float(np.median(left[some]))
    return found


def _fine(hz: Floats, turn: Complex, start_ms: float) -> float:
    """ms: all phases on one line, at 0 or 180 degrees at 0 Hz (polarity)."""
    best, unit = start_ms, 1000 / float(hz[-1] - hz[0])
    for step in (2.0, 0.2, 0.02, 0.002):
        near = best + step * unit * np.arange(-10, 11)
        sums = np.exp(2j * np.pi * np.outer(near / 1000, hz)) @ turn
        # Far off only the size tells; near by the real part does, with either sign.
        height = np.abs(sums) if step > 0.1 else np.abs(sums.real)
        best = float(near[int(height.argmax())])
    return best
