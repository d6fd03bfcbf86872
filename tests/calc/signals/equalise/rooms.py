"""Fifty room-like averages of six spots each, from a published seed.

Each spot is one direct sound and a decaying random tail; the average is of power in twelfths of
an octave, 20 Hz to 19.3 kHz. A loudspeaker's own broad bumps lie over all of it. It is made of no
peaking section, so that no fit can be perfect.
"""

import numpy as np

from calc.signals.equalise.peaks import place_of
from calc.signals.equalise.problem import Problem

SEED = 20_240_601
ROOMS = 50
SPOTS = 6
SAMPLING_HZ = 48_000.0
LENGTH = 1 << 16
FREQUENCY_HZ = 20 * 2 ** (np.arange(120) / 12)
FILTERS = 8


def average_db(room: int) -> np.ndarray:
    """The power average of a room, (120,), dB re its own mean."""
    rng = np.random.default_rng([SEED, room])
    times = np.arange(LENGTH) / SAMPLING_HZ
    decay_s, ratio = rng.uniform(0.3, 1.2), 10 ** (rng.uniform(-3, 6) / 20)
    hz = np.fft.rfftfreq(LENGTH, 1 / SAMPLING_HZ)
    edges = np.searchsorted(hz, FREQUENCY_HZ[:, None] * 2 ** (np.array([-1, 1]) / 24))
    edges[:, 1] = np.maximum(edges[:, 1], edges[:, 0] + 1)
    energy = np.zeros(len(FREQUENCY_HZ))
    for _ in range(SPOTS):
        tail = rng.standard_normal(LENGTH) * 10 ** (-3 * times / decay_s)
        tail *= ratio / np.sqrt((tail**2).sum())
        tail[0] += 1.0
        power = np.abs(np.fft.rfft(tail)) ** 2
        energy += [power[a:b].mean() for a, b in edges]
    level = 10 * np.log10(energy) + _bumps(rng)
    return level - level.mean()


def _bumps(rng: np.random.Generator) -> np.ndarray:
    octaves = np.log2(FREQUENCY_HZ / 20)
    total = np.zeros(len(octaves))
    for _ in range(7):
        away = (octaves - rng.uniform(0, 10)) / rng.uniform(0.15, 1.2)
        total += rng.uniform(-7, 7) * np.exp(-(away**2))
    return total


def problem(room: int) -> Problem:
    """Eight peaks of 15 dB at most and Q 0.4 to 10 shall level it out."""
    return Problem(
        place=place_of(FREQUENCY_HZ, SAMPLING_HZ),
        wanted_db=-average_db(room),
        weight=np.ones(len(FREQUENCY_HZ)),
        ceiling_db=np.full(len(FREQUENCY_HZ), 60.0),
        least=np.array([float(place_of(20.0, SAMPLING_HZ)), -15.0, np.log(0.4)]),
        most=np.array([float(place_of(19_000.0, SAMPLING_HZ)), 15.0, np.log(10.0)]),
    )


def spread_evenly(problem: Problem, count: int) -> np.ndarray:
    """Peaks without gain at equal distances: the plain start that searches are compared with."""
    at = np.linspace(problem.place[0], problem.place[-1], count + 2)[1:-1]
    return np.stack([at, np.zeros(count), np.full(count, np.log(2.0))], axis=1)
