"""The loop of one microphone, as a sweep measured it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.crossings import Complex, Floats
from calc.signals.feedback.rings import Ring
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.transfer import LEAST_COHERENCE

SHORTEST_S = 1.25
"""s. A response is heard for so long or a little longer, from the sweep's start on: a stage
microphone hears the room before the box as often as not."""

LEFT_DB = -40.0
"""dB. And on, until so little of its energy is still to come: a ring whose sound dies away like
the rest is then known to 0.1 dB (MATH)."""

FINER = 4
"""1. And its lines lie so much closer: a ring in a room turns by far more between two lines than
its first arrival does."""

HIGHEST_HZ = 12_000.0
"""Hz. Above it the air and every microphone's size keep loops from ringing. Own choice."""

LATEST_S = 0.34
LEAST_REST_S = 0.3
FADING = 0.25
"""1. Of the time heard, at its end."""

DOUBT = 0.3
"""1. Of a sum: what may be hidden beside it, 2.7 dB and 17 degrees at the worst. Own choice."""

SMOOTHED = 9 * FINER + 1
"""Lines over which power is averaged: one line of noise is anything."""

NOISE_SHARE = 0.5
"""1. Of the power of the lines around, at most, where a line shall be believed. Own choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """From the system's input through the air and a microphone back to that input.

    `response` (n,) over `frequency_hz` (n,), evenly spaced, with its delay in it. `believed`
    (n,) is False where noise hid it. `offset_db` is what lies between the measured loop and the
    loop at its show position (0: measured as it plays); None: nobody said, and only differences
    between rings are known. `cut_off_db`: by so much rings may be stronger than they are here,
    as the recording ended while the room still sounded.
    """

    name: str
    frequency_hz: Floats
    response: Complex
    believed: NDArray[np.bool_]
    offset_db: float | None = None
    cut_off_db: float = 0.0

    @property
    def absolute(self) -> bool:
        """Whether its margins are those of the show position."""
        return self.offset_db is not None

    @property
    def as_set(self) -> Complex:
        """The response at the show position, 0 where it can't be believed."""
        gain = 10 ** ((self.offset_db or 0.0) / 20)
        return np.where(self.believed, gain * self.response, 0.0)

    def hidden(self, low_hz: float, high_hz: float) -> Ring | None:
        """Where and how loud the loop may be among lines that can't be believed, as a ring.

        None where all lines between two frequencies can be believed.
        """
        inside = (self.frequency_hz >= low_hz) & (self.frequency_hz <= high_hz) & ~self.believed
        level = np.abs(self.response[inside])
        if not len(level) or not level.any():
            return None
        at = int(level.argmax())
        gain_db = 20 * math.log10(level[at]) + (self.offset_db or 0.0)
        return Ring(float(self.frequency_hz[inside][at]), -gain_db)


def loop_of(name: str, response: Response, offset_db: float | None = None) -> Loop:
    """A loop from what a microphone gave, divided by what was played, on one clock.

    Without a common clock the delay, and with it every ring, is unknown: such a response is no
    loop, and who calls must see to that.

    Raises
    ------
    ValueError
        In words: too short, too noisy, or too late for its lines.
    """
    rate, samples = response.sampling_hz, response.samples
    size = _heard(samples, rate)
    lines = int(min(HIGHEST_HZ, rate / 2) * FINER * size / rate) + 1
    hz = np.arange(lines, dtype=np.float64) * (rate / (FINER * size))
    if response.onset > LATEST_S * rate:
        raise ValueError(
            f"{name}: the loop is {1000 * response.onset / rate:.0f} ms late, more than can be "
            "judged. Take delays out of the way to the system while you measure."
        )
    heard, rest = samples[:size], samples[size:]
    if len(rest) < LEAST_REST_S * rate:
        raise ValueError(
            f"{name}: the recording ends too soon after the sweep to tell the noise. Let it run "
            "on for 2 s."
        )
    spectrum = np.fft.rfft(heard * _fading(size), FINER * size)[:lines]
    noise = _noise(rest, size, FINER * size)[:lines]
    believed = _believed(np.abs(spectrum) ** 2, noise)
    if believed.mean() < 0.05:
        raise ValueError(f"{name}: hardly anything stands out of the noise. Measure louder.")
    return Loop(name, hz, spectrum, believed, offset_db, _cut_off_db(samples, rate, size))


def _heard(samples: Floats, rate: float) -> int:
    """How many samples of a response are the loop: a power of two."""
    size = 1 << math.ceil(math.log2(SHORTEST_S * rate))
    while (
        _still_to_come(samples, rate, size) > 10 ** (LEFT_DB / 10)
        and len(samples) - 2 * size >= LEAST_REST_S * rate
    ):
        size *= 2
    return size


def _still_to_come(samples: Floats, rate: float, size: int) -> float:
    """Share of a response's energy that lies behind so many samples, the noise taken off."""
    end = (1 - FADING / 2) * size
    rest = samples[-round(LEAST_REST_S * rate) :]
    power = samples**2 - float(np.mean(rest**2))
    whole = float(power.sum())
    return max(0.0, float(power[round(end) :].sum()) / whole) if whole > 0 else 0.0


def _cut_off_db(samples: Floats, rate: float, size: int) -> float:
    """By how much rings may be stronger than found, as the room's sound was cut off, dB."""
    left = _still_to_come(samples, rate, size)
    return -20 * math.log10(1 - min(math.sqrt(left), 0.9)) if left > 10 ** (LEFT_DB / 10) else 0.0


def _fading(length: int) -> Floats:
    """1, and over its last part down to 0: what comes so late is noise."""
    window = np.ones(length)
    fade = round(FADING * length)
    window[length - fade :] = 0.5 + 0.5 * np.cos(np.pi * (np.arange(fade) + 0.5) / fade)
    return window


def _noise(rest: Floats, length: int, size: int) -> Floats:
    """Power per line of what lies behind the response, in a window like the response's."""
    part = rest[:length]
    window = np.sin(np.pi * (np.arange(len(part)) + 0.5) / len(part))
    power = np.abs(np.fft.rfft(part * window, size)) ** 2
    share = float((_fading(length) ** 2).sum() / (window**2).sum())
    smooth: Floats = np.convolve(power * share, np.ones(SMOOTHED) / SMOOTHED, mode="same")
    return smooth


def _believed(power: Floats, noise: Floats) -> NDArray[np.bool_]:
    """Lines that stand out of the noise, among others that do on the whole.

    Without the others one line in thirty of nothing but noise would.
    """
    around = np.convolve(power, np.ones(SMOOTHED) / SMOOTHED, mode="same")
    clear: NDArray[np.bool_] = (power > 0) & (noise <= (1 - LEAST_COHERENCE) * power)
    return clear & (noise <= NOISE_SHARE * around)
