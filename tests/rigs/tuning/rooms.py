"""Rooms that are known: samples heard in them are made here, not by what is tested."""

import numpy as np
from scipy.signal import fftconvolve

from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.signals import played

RATE_HZ = 48_000


def room(decay_s: float = 0.8, delay_s: float = 0.02, seed: int = 3, direct: float = 1.0):
    """A response: one arrival, then noise whose energy falls by 60 dB in `decay_s`."""
    times = np.arange(round(2.0 * RATE_HZ)) / RATE_HZ
    tail = np.random.default_rng(seed).standard_normal(len(times))
    tail *= 0.02 * 10 ** (-3 * times / decay_s)
    tail[0] += direct
    return np.concatenate([np.zeros(round(delay_s * RATE_HZ)), tail])


def heard(key: str, response, level: float = 0.3, noise: float = 1e-5, seed: int = 5):
    """What a microphone hears of a test signal in a room, with a little noise of its own."""
    signal = signal_of(played(key)).samples
    whole = level * fftconvolve(signal, response)
    return whole + noise * np.random.default_rng(seed).standard_normal(len(whole))
