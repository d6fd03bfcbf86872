"""Narrow peaks in the spectrum of a moment."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import uniform_filter1d

Floats = NDArray[np.float64]

LOWEST_HZ, HIGHEST_HZ = 60.0, 10_000.0
STANDS_OUT_DB = 12.0
"""dB that a peak stands above the mean of the 240 Hz around it (peak to neighbours)."""

AROUND_HZ = 240.0
SILENT_DB = -80.0
"""dB re full scale: below it nobody hears a tone in a room."""

BEHIND_DB = 45.0
"""dB behind the loudest peak: further back nothing decides."""

MOST = 24
NEAR = 0.003
"""1. A harmonic lies so near its place."""


HARMONICS = np.array([2.0, 3.0, 0.5, 1 / 3, 1.5, 2 / 3])
PLACES = np.linspace(1 - NEAR, 1 + NEAR, 15)

CLEAR_DB, BESIDE_DB = 22.0, 30.0
"""dB that a clear tone stands out: noise never does. Those count as beside it that lie no further
behind."""


@dataclass(frozen=True, slots=True, eq=False)
class Spectrum:
    """Levels in dB re a full-scale sine over evenly spaced lines, and the peaks in them.

    `hz` (n,) and `db` (n,) of the peaks, loudest first; `clear` (n,) are those that stand far out,
    `others` (n,) how many clear ones lie beside each, `harmonics_db` (n, 6) what lies at the places
    of its harmonics and of those tones whose harmonic it may be.
    """

    levels_db: Floats
    line_hz: float
    hz: Floats
    db: Floats
    clear: NDArray[np.bool_]
    others: NDArray[np.intp]
    harmonics_db: Floats


@cache
def window_of(size: int) -> Floats:
    """A raised cosine whose sine of full scale reads 0 dB."""
    window: Floats = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(size) + 0.5) / size)
    return window * (2 / window.sum())


def spectrum_of(frame: Floats, window: Floats, sampling_hz: float) -> Spectrum:
    """Peaks of a frame (n,), between the lines."""
    power = np.abs(fft.rfft(frame * window)) ** 2
    levels = 10 * np.log10(power + 1e-30)
    line = sampling_hz / len(frame)
    around = uniform_filter1d(levels, int(AROUND_HZ / line) | 1, mode="nearest")
    low, high = int(LOWEST_HZ / line), int(min(HIGHEST_HZ, 0.45 * sampling_hz) / line)
    part = levels[low:high]
    peak = (part > levels[low - 1 : high - 1]) & (part >= levels[low + 1 : high + 1])
    peak &= (part - around[low:high] > STANDS_OUT_DB) & (part > SILENT_DB)
    at = np.nonzero(peak)[0] + low
    at = at[np.argsort(-levels[at], kind="stable")[:MOST]]
    if len(at):
        at = at[levels[at] > levels[at[0]] - BEHIND_DB]
    left, middle, right = levels[at - 1], levels[at], levels[at + 1]
    bend: Floats = left - 2 * middle + right
    off = np.where(bend < 0, 0.5 * (left - right) / np.minimum(bend, -1e-12), 0.0)
    hz = np.asarray((at + off) * line, np.float64)
    db = np.asarray(middle - 0.25 * (left - right) * off, np.float64)
    clear = middle - around[at] >= CLEAR_DB
    beside = clear[None, :] & (db[None, :] > db[:, None] - BESIDE_DB)
    return Spectrum(
        levels, line, hz, db, clear, beside.sum(axis=1) - clear, _at_harmonics(levels, hz / line)
    )


def _at_harmonics(levels: Floats, lines: Floats) -> Floats:
    """The highest level within 0.3 % of each harmonic's place; -300 dB beyond the lines."""
    at = np.rint(lines[:, None, None] * HARMONICS[:, None] * PLACES).astype(np.intp)
    inside = (at >= 1) & (at < len(levels))
    found = np.where(inside, levels[np.where(inside, at, 0)], -300.0)
    highest: Floats = found.max(axis=2)
    return highest
