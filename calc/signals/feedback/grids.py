"""Several loops: brought to the same lines where they were heard for different times, added."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from calc.signals.feedback.loop import Loop

SAME = 1e-9
DOUBT = 0.3
"""1. Of a sum: what may be hidden beside it, 2.7 dB and 17 degrees at the worst. Own choice."""


def on_the_same_lines(loops: Sequence[Loop]) -> tuple[Loop, ...]:
    """All of them on the lines of the finest, which those of the others are among.

    Raises
    ------
    ValueError
        There are none, or they were measured at different rates.
    """
    if not loops:
        raise ValueError("no loop was measured")
    finest = min(float(loop.frequency_hz[1] - loop.frequency_hz[0]) for loop in loops)
    found = [_finer(loop, finest) for loop in loops]
    lines = min(len(loop.frequency_hz) for loop in found)
    hz = found[0].frequency_hz[:lines]
    if any(np.abs(loop.frequency_hz[:lines] - hz).max() > SAME * hz[-1] for loop in found):
        raise ValueError("the loops were measured at different rates: measure all at one rate")
    return tuple(
        replace(
            loop, frequency_hz=hz, response=loop.response[:lines], believed=loop.believed[:lines]
        )
        for loop in found
    )


def _finer(loop: Loop, spacing_hz: float) -> Loop:
    """With so many more lines between its own, by silence behind its impulse response."""
    hz = loop.frequency_hz
    more = round(float(hz[1] - hz[0]) / spacing_hz)
    if more == 1 or hz[0] != 0:
        return loop
    last = len(hz) - 1
    row = np.fft.irfft(loop.response, 2 * last)
    believed = np.repeat(loop.believed[:-1] & loop.believed[1:], more)
    believed = np.concatenate([believed, loop.believed[-1:]])
    believed[::more] = loop.believed
    return replace(
        loop,
        frequency_hz=np.arange(more * last + 1, dtype=np.float64) * (float(hz[1]) / more),
        response=np.fft.rfft(row, 2 * last * more),
        believed=believed,
    )


def together(name: str, loops: Sequence[Loop]) -> Loop:
    """The loop of several microphones that are open at once: their sum.

    A line is believed where what noise hides in some of them could not change it much.

    Raises
    ------
    ValueError
        As `on_the_same_lines`.
    """
    parts = on_the_same_lines(loops)
    known = all(loop.absolute for loop in parts)
    whole = np.sum([loop.as_set for loop in parts], axis=0)
    raised = [10 ** ((loop.offset_db or 0.0) / 20) * np.abs(loop.response) for loop in parts]
    hidden = [np.where(loop.believed, 0, size) for loop, size in zip(parts, raised, strict=True)]
    believed = (whole != 0) & (np.sum(hidden, axis=0) <= DOUBT * np.abs(whole))
    # What can't be believed is still there, as loud as it may be.
    whole = np.where(believed, whole, np.sum(raised, axis=0))
    return Loop(
        name,
        parts[0].frequency_hz,
        whole,
        believed,
        0.0 if known else None,
        max(loop.cut_off_db for loop in parts),
    )
