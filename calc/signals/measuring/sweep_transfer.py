"""The transfer function that a sweep's response holds, and how far to believe each line of it."""

import math

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from calc.signals.measuring.spectra import FINEST_HZ, lines_hz
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.transfer import Transfer

Floats = NDArray[np.float64]

AHEAD_S = 0.005
"""s. The window opens so long before the arrival and fades in until then."""

FADE_SHARE = 0.25
"""1. Of the window: how much of its end fades out."""

SMOOTHED = 9
"""Lines over which the noise's power is averaged: one line of noise is anything."""


def sweep_transfer(response: Response) -> Transfer:
    """Transfer function of the first part of a response, about 0.7 s, the delay taken out.

    Its `coherence` is the share of each line's power that is not noise, where the noise is that of
    the response's end through the same window. `delay_ms` is that of the arrival after the start
    of the recording; `averages` is 1.
    """
    rate = response.sampling_hz
    size = 1 << math.ceil(math.log2(rate / FINEST_HZ))
    ahead = round(AHEAD_S * rate)
    start = max(0, response.arrival - ahead)
    heard = response.samples[start : start + size]
    spectrum = fft.rfft(heard * _window(len(heard), response.arrival - start), size)
    noise = _noise(response, start + size, len(heard), size)
    power = np.abs(spectrum) ** 2
    hz = lines_hz(size, rate)
    turned = spectrum * np.exp(2j * np.pi * hz * (response.arrival - start) / rate)
    with np.errstate(divide="ignore", invalid="ignore"):
        believed = np.where(power > 0, np.clip(1 - noise / power, 0, 1), 0.0)
    return Transfer(
        frequency_hz=hz,
        response=turned,
        coherence=believed,
        delay_ms=1000 * response.arrival / rate,
        averages=1,
        sampling_hz=rate,
        cannot=_cannot(response, start + size),
    )


def _window(length: int, rise: int) -> Floats:
    window = np.ones(length)
    window[:rise] = 0.5 - 0.5 * np.cos(np.pi * (np.arange(rise) + 0.5) / max(rise, 1))
    fade = round(FADE_SHARE * length)
    window[length - fade :] *= 0.5 + 0.5 * np.cos(np.pi * (np.arange(fade) + 0.5) / max(fade, 1))
    return window


def _noise(response: Response, after: int, length: int, size: int) -> Floats:
    """Power per line of the noise in a window, from what lies behind it; smoothed."""
    rest = response.samples[max(after, len(response.samples) - length) :]
    lines = size // 2 + 1
    if len(rest) < length // 4:
        return np.zeros(lines)
    window = _window(len(rest), len(rest) // 4)
    power = np.abs(fft.rfft(rest * window, size)) ** 2
    share = float((_window(length, 1) ** 2).sum() / (window**2).sum())
    around = np.ones(SMOOTHED) / SMOOTHED
    smooth: Floats = np.convolve(power * share, around, mode="same")
    return smooth


def _cannot(response: Response, after: int) -> tuple[str, ...]:
    left = (len(response.samples) - after) / response.sampling_hz
    if left < 0.25 / FINEST_HZ:
        return (
            "The recording ends too soon after the sweep to tell the noise: let it run on for 2 s.",
        )
    return ()
