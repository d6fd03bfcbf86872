"""How much later one response comes than another, finer than a sample, and whether inverted.

Two impulse responses (or a played signal and its recording) are compared by cross-correlation.
Every frequency counts by its phase alone and as much as it stands out of the noise: the weight
s1 s2 / (1 + s1 + s2) of two signal-to-noise ratios of power, which is the maximum-likelihood
weight for independent noises (Knapp and Carter 1976, RECALL). Around the first arrival a window
keeps the room's later sound out; it follows the delay until both windows see the same part.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FIRST_SHARE = 0.25
"""The first peak of the envelope within 12 dB of the highest is the arrival. Own choice."""

ABOVE_NOISE = 4.0
"""1. And it stands out of the noise's rms by so much: noise alone gets there once in 9 million."""

NOISE_FREE = 1e-6
"""1. Noise of power is never taken to be less than this of the strongest frequency: -60 dB."""

MOST_TRUST = 1e3
"""1. Cap of a signal-to-noise ratio, so that no single resonance rules."""

BEFORE, AFTER = 2.5, 5.0
"""The window around an arrival, in units of 1 / bandwidth."""

WINDOW_POWER = 0.375
"""1. Mean square of a raised cosine. MATH."""

SHORTEST_AFTER_S = 0.003
FINER = 16
ROUNDS = 4
PLAYED_FLOOR = 1e-4
"""1. Of the strongest power, added to a played signal's before it is divided by."""

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Delay:
    """What the comparison found.

    `delay_ms` is how much later the second is (below 0: earlier), `inverted` whether it has the
    other polarity. `within_ms` is twice the standard deviation that the scatter of the phases
    around a pure delay allows. `likeness` (0 to 1) is 1 where all phases lie on that delay.
    `rival` (0 to 1) is the height of the next best peak, of either polarity: near 1 the band is
    too narrow to tell them apart.
    """

    delay_ms: float
    inverted: bool
    within_ms: float
    likeness: float
    rival: float


def delay_between(
    first: Floats, second: Floats, sampling_hz: float, band_hz: tuple[float, float]
) -> Delay:
    """Compare the first arrivals of two impulse responses that share a time zero.

    Parameters
    ----------
    first, second : (n,), (m,)
        In any unit; both need some quiet before the sound arrives, to tell the noise.
    sampling_hz : float
    band_hz : (low, high)
        Where both carry sound; within half the sampling rate.

    Raises
    ------
    ValueError
        In words: no numbers, silent, too short, a band that cannot be.
    """
    first, second = _checked(first, second, sampling_hz, band_hz)
    size = max(len(first), len(second))
    pair = [_in_band(part, size, sampling_hz, band_hz) for part in (first, second)]
    onsets = [_onset(part[:size], sampling_hz, band_hz) for part in pair]
    noise = [_noise(p, at, sampling_hz, band_hz) for p, at in zip(pair, onsets, strict=True)]
    start, later = onsets[0], onsets[1] - onsets[0]
    for _ in range(ROUNDS):
        spectra = [
            _windowed(part, at, sampling_hz, band_hz)
            for part, at in zip(pair, (start, start + later), strict=True)
        ]
        found, more = _compared(spectra, noise, sampling_hz, band_hz)
        # The windows' own places are known exactly; what is left lies between them.
        later += more
    return Delay(1000 * later, found.inverted, found.within_ms, found.likeness, found.rival)


def delay_in(
    played: Floats, recorded: Floats, sampling_hz: float, band_hz: tuple[float, float]
) -> Delay:
    """When a played signal first arrives in its recording; both start together.

    Parameters
    ----------
    played, recorded : (n,), (m,)
        Any signal that fills the band: a sweep, noise.
    sampling_hz, band_hz
        As in `delay_between`.

    Raises
    ------
    ValueError
        As `delay_between`.
    """
    played, recorded = _checked(played, recorded, sampling_hz, band_hz)
    size = _fast_length(len(played) + len(recorded))
    source, heard = np.fft.rfft(played, size), np.fft.rfft(recorded, size)
    power = np.abs(source) ** 2
    response = np.fft.irfft(heard * source.conj() / (power + PLAYED_FLOOR * power.max()), size)
    ahead = max(1, round(0.5 * sampling_hz))  # quiet before time zero, where only noise is
    response = np.roll(response, ahead)
    pulse = np.zeros(size)
    pulse[ahead] = 1.0
    return delay_between(pulse, response, sampling_hz, band_hz)


def _checked(
    first: Floats, second: Floats, sampling_hz: float, band_hz: tuple[float, float]
) -> tuple[Floats, Floats]:
    low, high = band_hz
    if not 0 < low < high <= sampling_hz / 2:
        raise ValueError("the band must rise and lie between 0 Hz and half the sampling rate")
    whole = []
    for what, values in (("first", first), ("second", second)):
        part = np.asarray(values, dtype=np.float64)
        if part.ndim != 1 or not np.isfinite(part).all():
            raise ValueError(f"the {what} response must be one row of numbers")
        if len(part) < 2 * sampling_hz / (high - low):
            raise ValueError(f"the {what} response is too short for this band")
        if not part.any():
            raise ValueError(f"the {what} response is silent")
        whole.append(part)
    return whole[0], whole[1]


def _fast_length(size: int) -> int:
    return 1 << math.ceil(math.log2(size))


def _taper(hz: Floats, band_hz: tuple[float, float]) -> Floats:
    """1 inside of the band, with raised-cosine edges inwards of a tenth of the bandwidth."""
    low, high = band_hz
    edge = (high - low) / 10
    inside = np.clip(np.minimum(hz - low, high - hz) / edge, 0, 1)
    taper: Floats = 0.5 - 0.5 * np.cos(np.pi * inside)
    return taper


def _in_band(
    response: Floats, size: int, sampling_hz: float, band_hz: tuple[float, float]
) -> Complex:
    """The analytic signal of the response within the band, zero phase; its ends are padded."""
    pad = math.ceil(2 * BEFORE * sampling_hz / (band_hz[1] - band_hz[0]))
    whole = _fast_length(size + 2 * pad)
    spectrum = np.fft.fft(response, whole)
    hz = np.asarray(np.fft.fftfreq(whole, 1 / sampling_hz), dtype=np.float64)
    analytic: Complex = np.fft.ifft(2 * spectrum * _taper(hz, band_hz))
    return analytic


def _onset(analytic: Complex, sampling_hz: float, band_hz: tuple[float, float]) -> float:
    """Seconds of the first peak of the envelope that comes near the highest."""
    envelope = np.abs(analytic)
    half = max(1, round(0.5 * sampling_hz / (band_hz[1] - band_hz[0])))
    quietest = min(float(np.mean(part**2)) for part in np.array_split(envelope, 32))
    least = max(FIRST_SHARE * float(envelope.max()), ABOVE_NOISE * math.sqrt(quietest))
    at = int(np.nonzero(envelope >= min(least, float(envelope.max())))[0][0])
    while True:  # climb to the top of that first hump
        reach = envelope[at : at + half + 1]
        step = int(reach.argmax())
        if step == 0:
            return at / sampling_hz
        at += step


def _window_s(band_hz: tuple[float, float]) -> tuple[float, float]:
    bandwidth = band_hz[1] - band_hz[0]
    return BEFORE / bandwidth, max(AFTER / bandwidth, SHORTEST_AFTER_S)


def _windowed(
    analytic: Complex, at_s: float, sampling_hz: float, band_hz: tuple[float, float]
) -> Complex:
    """Spectrum of the part around a time, with that time as its zero, from 0 Hz upwards.

    The window sits at `at_s` itself, between samples too, and falls like a cosine both ways.
    """
    before, after = _window_s(band_hz)
    size = _fast_length(4 * math.ceil((before + after) * sampling_hz))
    first = math.floor((at_s - before) * sampling_hz)
    places = first + np.arange(math.ceil((before + after) * sampling_hz) + 2)
    away = places / sampling_hz - at_s
    share = np.where(away < 0, -away / before, away / after)
    window = np.where(share < 1, np.cos(np.pi / 2 * np.minimum(share, 1)) ** 2, 0.0)
    # Places before the start wrap round to the padding, which is quiet.
    part = analytic[places % len(analytic)] * window
    spectrum = np.fft.fft(part, size)[: size // 2]
    hz = np.arange(size // 2) * sampling_hz / size
    return spectrum * np.exp(-2j * np.pi * hz * away[0])


def _noise(
    analytic: Complex, onset_s: float, sampling_hz: float, band_hz: tuple[float, float]
) -> float:
    """Noise power that one bin of a window holds, from before the arrival; 0 if nothing is."""
    before, after = _window_s(band_hz)
    end = math.floor((onset_s - 2 * before) * sampling_hz)
    quiet = analytic[:end] if end > 8 else analytic[:0]
    if not len(quiet):
        return 0.0
    # Noise of one spectral density: its share of a bin is its power times the window's.
    weight = WINDOW_POWER * (before + after) * sampling_hz
    share = sampling_hz / 2 / (band_hz[1] - band_hz[0])
    return float(np.mean(np.abs(quiet) ** 2) * weight * share)


def _compared(
    spectra: list[Complex],
    noise: list[float],
    sampling_hz: float,
    band_hz: tuple[float, float],
) -> tuple[Delay, float]:
    """The delay between two windowed spectra, and that delay in s."""
    size = 2 * len(spectra[0])
    hz = np.arange(len(spectra[0])) * sampling_hz / size
    trust = [_trust(part, floor) for part, floor in zip(spectra, noise, strict=True)]
    weight = trust[0] * trust[1] / (1 + trust[0] + trust[1]) * _taper(hz, band_hz)
    turn = np.exp(1j * np.angle(spectra[1] * spectra[0].conj()))
    used = weight > 1e-9 * weight.max()
    hz, weight, turn = hz[used], weight[used], turn[used]
    likeness, later, inverted, rival = _best_lag(hz, weight, turn, band_hz)
    left = np.angle((-1.0 if inverted else 1.0) * turn * np.exp(2j * np.pi * hz * later))
    # Padding and the window's fall make neighbouring bins say the same: so many of them are one.
    alike = size / (WINDOW_POWER * sum(_window_s(band_hz)) * sampling_hz)
    spread = math.sqrt(alike * float(np.sum((weight * hz * left) ** 2)))
    within = 2 * spread / (2 * np.pi * float(np.sum(weight * hz**2)))
    return Delay(0.0, inverted, 1000 * within, likeness, rival), later


def _trust(spectrum: Complex, noise: float) -> Floats:
    power = np.abs(spectrum) ** 2
    floor = max(noise, NOISE_FREE * float(power.max()))
    return np.clip(power / floor - 1, 0, MOST_TRUST)


def _best_lag(
    hz: Floats, weight: Floats, turn: Complex, band_hz: tuple[float, float]
) -> tuple[float, float, bool, float]:
    """Height, lag in s and polarity of the highest peak, and the height of the next."""
    reach = BEFORE / (band_hz[1] - band_hz[0])
    lags = np.arange(-reach, reach, 1 / (FINER * band_hz[1]))
    height = np.empty(len(lags))
    for first in range(0, len(lags), 256):
        part = lags[first : first + 256, None]
        height[first : first + 256] = np.real(np.exp(2j * np.pi * hz * part) @ (weight * turn))
    height /= weight.sum()
    size = np.abs(height)
    best = int(size.argmax())
    lag, inverted = float(lags[best]), bool(height[best] < 0)
    for _ in range(6):  # Newton on the slope; the grid is near enough for it to settle
        part = weight * turn * np.exp(2j * np.pi * hz * lag)
        slope = -float(np.sum(2 * np.pi * hz * part.imag))
        bend = -float(np.sum((2 * np.pi * hz) ** 2 * part.real))
        lag -= slope / bend if bend else 0.0
    tops = (size[1:-1] >= size[:-2]) & (size[1:-1] >= size[2:])
    others = [int(i) + 1 for i in np.nonzero(tops)[0] if abs(int(i) + 1 - best) > 1]
    rival = max((float(size[i]) for i in others), default=0.0) / float(size[best])
    return float(size[best]), lag, inverted, min(rival, 1.0)
