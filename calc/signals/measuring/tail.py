"""Where a decay sinks into the noise, and the decay without that noise.

The crossing is found in rounds, after Lundeby and others 1995 (RECALL): noise from the end, a
straight line through what stands clear of it, their crossing, the noise again from beyond. The
noise's power is taken off before integrating, and what an even decay would still hold beyond the
crossing is put on.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.measuring.bandpass import BandEnergy
from calc.signals.measuring.lines import straight

Floats = NDArray[np.float64]

ROUNDS = 5
LAST_SHARE = 0.1
CLEAR_DB = 8.0
SPAN_DB = 20.0
BEYOND_DB = 5.0
BLOCKS_PER_10_DB = 5.0
FIRST_BLOCK_S = 0.02
QUIETEST = 1e-18
DB = 10 / math.log(10)


@dataclass(frozen=True, slots=True, eq=False)
class Decay:
    """A backward-integrated decay, dB re its start, at `times_s`, and how far the noise lies."""

    times_s: Floats
    level_db: Floats
    range_db: float
    crossing_s: float


def decay_of(band: BandEnergy) -> Decay | None:
    """None where there is nothing that falls."""
    energy, rate = band.energy, band.rate_hz
    if len(energy) < 20 or not energy.any():
        return None
    start = int(_blocks(energy, max(1, int(FIRST_BLOCK_S * rate)))[0].argmax())
    floor = QUIETEST * float(energy.max())
    noise = max(float(energy[-max(1, int(LAST_SHARE * len(energy))) :].mean()), floor)
    crossing, slope = _first_line(energy, rate, noise, start)
    if slope >= 0:
        return None
    for _ in range(ROUNDS):
        noise = max(_noise(energy, rate, crossing, slope), floor)
        line = _line(energy, rate, noise, slope)
        if line is None:
            break
        slope, height = line
        crossing = min((DB * math.log(noise) - height) / slope, len(energy) / rate)
    return _integrated(energy, rate, noise, crossing, slope)


def _blocks(energy: Floats, block: int) -> tuple[Floats, Floats]:
    """Means over blocks, and the blocks' middles in samples."""
    count = max(1, len(energy) // block)
    block = min(block, len(energy))
    means = energy[: count * block].reshape(count, block).mean(axis=1)
    at = (np.arange(count, dtype=np.float64) + 0.5) * block
    return means, at


def _first_line(energy: Floats, rate: float, noise: float, start: int) -> tuple[float, float]:
    """Crossing in s and slope in dB/s of a first look."""
    means, at = _blocks(energy, max(1, int(FIRST_BLOCK_S * rate)))
    level = DB * np.log(np.maximum(means, noise * 1e-3))
    above = np.nonzero(level[start:] < DB * math.log(noise) + CLEAR_DB)[0]
    end = start + (int(above[0]) if len(above) else len(level) - start)
    if end - start < 3:
        return (start + 1) * FIRST_BLOCK_S, -60 / (FIRST_BLOCK_S * 3)
    slope, height, _ = straight(at[start:end] / rate, level[start:end])
    if slope >= 0:
        return 0.0, 0.0
    return min((DB * math.log(noise) - height) / slope, len(energy) / rate), slope


def _noise(energy: Floats, rate: float, crossing: float, slope: float) -> float:
    """Mean power from a little beyond the crossing, at least of the last tenth."""
    after = int((crossing + BEYOND_DB / -slope) * rate)
    latest = len(energy) - max(1, int(LAST_SHARE * len(energy)))
    return float(energy[max(0, min(after, latest)) :].mean())


def _line(energy: Floats, rate: float, noise: float, slope: float) -> tuple[float, float] | None:
    """Slope (dB/s) and height of the last 20 dB that stand clear of the noise."""
    block = max(1, int(10 / -slope / BLOCKS_PER_10_DB * rate))
    means, at = _blocks(energy, block)
    level = DB * np.log(np.maximum(means, noise * 1e-3))
    top, bottom = int(level.argmax()), DB * math.log(noise) + CLEAR_DB
    below = np.nonzero(level[top:] < bottom)[0]
    end = top + (int(below[0]) if len(below) else len(level) - top)
    near = np.nonzero(level[top:end] < bottom + SPAN_DB)[0]
    begin = top + (int(near[0]) if len(near) else 0)
    if end - begin < 3:
        begin = max(top, end - 3)
    if end - begin < 2:
        return None
    found, height, _ = straight(at[begin:end] / rate, level[begin:end])
    return (found, height) if found < 0 else None


def _integrated(
    energy: Floats, rate: float, noise: float, crossing: float, slope: float
) -> Decay | None:
    end = min(len(energy), max(2, int(crossing * rate)))
    pure = energy[:end] - noise
    beyond = noise * rate * DB / -slope
    left = np.cumsum(pure[::-1])[::-1] + beyond
    if left[0] <= 0:
        return None
    keep = left > 0
    last = int(np.argmin(keep)) if not keep.all() else end
    means, _ = _blocks(energy, max(1, int(0.005 * rate)))
    return Decay(
        times_s=np.arange(last) / rate,
        level_db=DB * np.log(left[:last] / left[0]),
        range_db=DB * math.log(float(means.max()) / noise),
        crossing_s=crossing,
    )
