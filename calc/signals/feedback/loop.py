"""The loop of one microphone, as a sweep measured it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.crossings import Complex, Floats
from calc.signals.feedback.rings import Ring
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.transfer import LEAST_COHERENCE

FINEST_HZ = 0.8
"""Hz. A response is heard for the inverse of this, or a little longer, from the sweep's start on:
a stage microphone hears the room before the box as often as not."""

FINER = 4
"""1. And its lines lie so much closer: a ring in a room turns by far more between two lines than
its first arrival does."""

HIGHEST_HZ = 12_000.0
"""Hz. Above it the air and every microphone's size keep loops from ringing. Own choice."""

LEAST_REST_S = 0.3
DOUBT = 0.3
"""1. Of a sum: what may be hidden beside it, 2.7 dB and 17 degrees at the worst. Own choice."""

SMOOTHED = 9
"""Lines over which the noise's power is averaged: one line of noise is anything."""


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """From the system's input through the air and a microphone back to that input.

    `response` (n,) over `frequency_hz` (n,), evenly spaced, with its delay in it. `believed`
    (n,) is False where noise hid it. `offset_db` is what lies between the measured loop and the
    loop at its show position (0: measured as it plays); None: nobody said, and only differences
    between rings are known.
    """

    name: str
    frequency_hz: Floats
    response: Complex
    believed: NDArray[np.bool_]
    offset_db: float | None = None

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
    rate, onset = response.sampling_hz, response.onset
    size = 1 << math.ceil(math.log2(rate / FINEST_HZ))
    lines = int(HIGHEST_HZ * FINER * size / rate) + 1
    hz = np.arange(lines, dtype=np.float64) * (rate / (FINER * size))
    if onset > size // 4:
        raise ValueError(
            f"{name}: the loop is {1000 * onset / rate:.0f} ms late, more than can be judged. Take "
            "delays out of the way to the system while you measure."
        )
    heard, rest = response.samples[:size], response.samples[size:]
    if len(rest) < LEAST_REST_S * rate:
        raise ValueError(
            f"{name}: the recording ends too soon after the sweep to tell the noise. Let it run "
            "on for 2 s."
        )
    spectrum = np.fft.rfft(heard * _fading(len(heard)), FINER * size)[:lines]
    power = np.abs(spectrum) ** 2
    noise = _noise(rest, len(heard), FINER * size)[:lines]
    believed = (power > 0) & (noise <= (1 - LEAST_COHERENCE) * power)
    if believed.mean() < 0.05:
        raise ValueError(f"{name}: hardly anything stands out of the noise. Measure louder.")
    return Loop(name, hz, spectrum, believed, offset_db)


def _fading(length: int) -> Floats:
    """1, and over the last quarter down to 0: what comes so late is noise."""
    window = np.ones(length)
    fade = length // 4
    window[length - fade :] = 0.5 + 0.5 * np.cos(np.pi * (np.arange(fade) + 0.5) / fade)
    return window


def _noise(rest: Floats, length: int, size: int) -> Floats:
    """Power per line of what lies behind the response, in a window like the response's."""
    part = rest[:length]
    window = np.sin(np.pi * (np.arange(len(part)) + 0.5) / len(part))
    power = np.abs(np.fft.rfft(part * window, size)) ** 2
    share = float((_fading(length) ** 2).sum() / (window**2).sum())
    around = np.ones(SMOOTHED) / SMOOTHED
    smooth: Floats = np.convolve(power * share, around, mode="same")
    return smooth


def together(name: str, loops: Sequence[Loop]) -> Loop:
    """The loop of several microphones that are open at once: their sum.

    A line is believed where what noise hides in some of them could not change it much.

    Raises
    ------
    ValueError
        Their lines differ, or there are none.
    """
    if not loops:
        raise ValueError("no loop was measured")
    first = loops[0]
    if any(not np.array_equal(loop.frequency_hz, first.frequency_hz) for loop in loops):
        raise ValueError("loops of different sampling rates can't be added: measure at one rate")
    known = all(loop.absolute for loop in loops)
    whole = np.sum([loop.as_set for loop in loops], axis=0)
    raised = [10 ** ((loop.offset_db or 0.0) / 20) * np.abs(loop.response) for loop in loops]
    doubt = np.sum(
        [np.where(loop.believed, 0, size) for loop, size in zip(loops, raised, strict=True)], axis=0
    )
    believed = (whole != 0) & (doubt <= DOUBT * np.abs(whole))
    # What can't be believed is still there, as loud as it may be.
    whole = np.where(believed, whole, np.sum(raised, axis=0))
    return Loop(name, first.frequency_hz, whole, believed, 0.0 if known else None)
