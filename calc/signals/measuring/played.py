"""The test signals that are played: pink noise and an exponential sweep, both from silence."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SEED = 7
HIGHEST_SHARE = 0.49
"""1. Of the sampling rate: a sweep fades out below it."""

RAMP_S, END_S = 2.0, 0.02
NOISE_DB, SWEEP_DB = -20.0, -12.0
"""dB re full scale: rms of the noise, whose peaks lie 14 dB above it, and of the sweep."""


@dataclass(frozen=True, slots=True, eq=False)
class PlayedSignal:
    """A test signal.

    `samples` are (n,) from -1 to 1. The sound proper begins at `start_s`, at `low_hz` and full
    level, after a ramp from silence, and lasts `sounding_s`; silence may follow for the room's
    decay. `growth_s` is the time in which a sweep's frequency grows e-fold; 0 for noise. A sweep
    fades out above `high_hz`, up to `end_hz`.
    """

    kind: Literal["pink noise", "sweep"]
    samples: Floats
    sampling_hz: float
    low_hz: float
    high_hz: float
    start_s: float
    sounding_s: float
    growth_s: float = 0.0
    end_hz: float = 0.0


def pink_noise(
    seconds: float = 60.0,
    sampling_hz: float = 48_000.0,
    low_hz: float = 20.0,
    high_hz: float = 20_000.0,
    *,
    rms_db: float = NOISE_DB,
    ramp_s: float = RAMP_S,
    seed: int = SEED,
) -> PlayedSignal:
    """Noise of equal power in every octave, the same for the same seed.

    Parameters
    ----------
    seconds : float
        1 to 600, without the ramp.
    low_hz, high_hz : float
        Above 0 and up to half the sampling rate.
    rms_db : float
        dB re full scale, up to -16: above it peaks would clip.

    Raises
    ------
    ValueError
        In words, for values that cannot be.
    """
    _demand(seconds, sampling_hz, low_hz, high_hz, ramp_s)
    if rms_db > -16:
        raise ValueError("noise above -16 dB re full scale would clip: choose a lower level")
    ramp = round(ramp_s * sampling_hz)
    size = round(seconds * sampling_hz) + ramp
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal(size))
    hz = np.fft.rfftfreq(size, 1 / sampling_hz)
    inside = (hz >= low_hz) & (hz <= high_hz)
    spectrum[~inside] = 0
    spectrum[inside] /= np.sqrt(hz[inside])
    samples = np.fft.irfft(spectrum, size)
    samples *= 10 ** (rms_db / 20) / math.sqrt(float(np.mean(samples**2)))
    _fade(samples, ramp, round(END_S * sampling_hz))
    return PlayedSignal("pink noise", samples, sampling_hz, low_hz, high_hz, ramp_s, seconds)


def exponential_sweep(
    seconds: float = 10.0,
    sampling_hz: float = 48_000.0,
    low_hz: float = 20.0,
    high_hz: float = 20_000.0,
    *,
    rms_db: float = SWEEP_DB,
    ramp_s: float = RAMP_S,
    end_s: float = END_S,
    tail_s: float = 5.0,
) -> PlayedSignal:
    """A sine whose frequency grows in equal ratios: sin(2 pi f1 L (e^(t/L) - 1)), L = T/ln(f2/f1).

    The ramp from silence runs below `low_hz` and the fade above `high_hz`, so that the range
    itself is at full level; silence for the room's decay follows.

    Parameters
    ----------
    seconds : float
        1 to 600, from `low_hz` to `high_hz`.
    rms_db : float
        dB re full scale, up to -3.0103: full scale.
    end_s : float
        How long it fades out; less where half the sampling rate is near.

    Raises
    ------
    ValueError
        As `pink_noise`.
    """
    _demand(seconds, sampling_hz, low_hz, high_hz, ramp_s)
    if rms_db > -3.0102:
        raise ValueError("a sweep above -3.01 dB re full scale would clip: choose a lower level")
    growth = seconds / math.log(high_hz / low_hz)
    ramp = round(ramp_s * sampling_hz)
    room = growth * math.log(HIGHEST_SHARE * sampling_hz / high_hz)
    end = round(max(0.0, min(end_s, room)) * sampling_hz)
    times = np.arange(-ramp, round(seconds * sampling_hz) + end) / sampling_hz
    samples = np.sin(2 * math.pi * low_hz * growth * np.expm1(times / growth))
    samples *= min(1.0, math.sqrt(2) * 10 ** (rms_db / 20))
    _fade(samples, ramp, end)
    whole = np.concatenate([samples, np.zeros(round(tail_s * sampling_hz))])
    return PlayedSignal(
        "sweep",
        whole,
        sampling_hz,
        low_hz,
        high_hz,
        ramp_s,
        seconds,
        growth,
        high_hz * math.exp(end / sampling_hz / growth),
    )


def _fade(samples: Floats, start: int, end: int) -> None:
    """Raised-cosine ramps at both ends, in place."""
    samples[:start] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(start) / max(start, 1))
    if end:
        samples[-end:] *= 0.5 + 0.5 * np.cos(np.pi * np.arange(1, end + 1) / end)


def _demand(seconds: float, sampling_hz: float, low: float, high: float, ramp_s: float) -> None:
    if not 1 <= seconds <= 600:
        raise ValueError("a test signal lasts from 1 s to 600 s")
    if not 0 < low < high <= sampling_hz / 2:
        raise ValueError("the range must rise and lie between 0 Hz and half the sampling rate")
    if not 0 <= ramp_s <= 30:
        raise ValueError("a ramp lasts from 0 s to 30 s")
