"""What a page draws of a response: how its peaks and its energy fall over time."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.measuring.bandpass import BandEnergy
from calc.signals.measuring.sweep import Harmonic, Response
from calc.signals.measuring.tail import decay_of

Floats = NDArray[np.float64]

POINTS = 300
BEFORE_S = 0.01
LONGEST_S = 3.0
ENERGY_HZ = 2000.0
LOWEST_DB = -100.0


@dataclass(frozen=True, slots=True)
class Outline:
    """A response in a few hundred points, `step_ms` apart, the first at `start_ms`.

    Times are from the arrival on. `peak_db` is the highest size within each step, dB re the
    highest of all. `energy_db` is the backward-integrated energy of all frequencies with the
    noise taken off, dB re the whole; None before the arrival and beyond where the noise begins.
    `noise_db` is the rms of the end re the peak.
    """

    start_ms: float
    step_ms: float
    peak_db: tuple[float, ...]
    energy_db: tuple[float | None, ...]
    noise_db: float
    harmonics: tuple[Harmonic, ...]


def outline_of(response: Response) -> Outline:
    """The outline of a response, up to 3 s after its arrival."""
    rate = response.sampling_hz
    start = max(0, response.arrival - round(BEFORE_S * rate))
    kept = np.abs(response.samples[start : response.arrival + round(LONGEST_S * rate)])
    step = max(1, math.ceil(len(kept) / POINTS))
    count = max(1, len(kept) // step)
    highest = kept[: count * step].reshape(count, -1).max(axis=1)
    top = float(highest.max()) or 1.0
    peak = 20 * np.log10(np.maximum(highest / top, 10 ** (LOWEST_DB / 20)))
    times: Floats = (
        start + step * (np.arange(count, dtype=np.float64) + 0.5) - response.arrival
    ) / rate
    return Outline(
        start_ms=1000 * float(times[0]),
        step_ms=1000 * step / rate,
        peak_db=tuple(peak.tolist()),
        energy_db=_energy(response, times),
        noise_db=response.noise_db,
        harmonics=response.harmonics,
    )


def _energy(response: Response, times: Floats) -> tuple[float | None, ...]:
    heard = response.samples[response.onset :]
    block = max(1, int(response.sampling_hz / ENERGY_HZ))
    count = len(heard) // block
    energy = np.square(heard[: count * block]).reshape(count, block).sum(axis=1)
    decay = decay_of(BandEnergy(1000.0, 1000.0, energy, response.sampling_hz / block))
    if decay is None:
        return (None,) * len(times)
    since = times + (response.arrival - response.onset) / response.sampling_hz
    level = np.interp(since, decay.times_s, decay.level_db)
    known = (since >= 0) & (since <= decay.times_s[-1])
    return tuple(float(value) if ok else None for value, ok in zip(level, known, strict=True))
