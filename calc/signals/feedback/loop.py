"""The loop of one microphone, as a sweep measured it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.rings import Complex, Floats, lines_enough
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.sweep_transfer import sweep_transfer
from calc.signals.measuring.transfer import LEAST_COHERENCE

FINEST_HZ = 0.8
"""Hz between lines, at most: a loop late by 69 ms is still judged between them."""


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


def loop_of(name: str, response: Response, offset_db: float | None = None) -> Loop:
    """A loop from what a microphone gave, divided by what was played, on one clock.

    Without a common clock the delay, and with it every ring, is unknown: such a response is no
    loop, and who calls must see to that.

    Raises
    ------
    ValueError
        In words: too short, too noisy, or too late for its lines.
    """
    found = sweep_transfer(response, FINEST_HZ)
    if found.cannot:
        raise ValueError(f"{name}: {found.cannot[0]}")
    hz, delay_s = found.frequency_hz, found.delay_ms / 1000
    if not lines_enough(hz, delay_s):
        raise ValueError(
            f"{name}: the loop is {1000 * delay_s:.0f} ms late, more than can be judged. Take "
            "delays out of the way to the system while you measure."
        )
    turned = found.response * np.exp(-2j * np.pi * hz * delay_s)
    believed = found.coherence >= LEAST_COHERENCE
    if believed.mean() < 0.05:
        raise ValueError(f"{name}: hardly anything stands out of the noise. Measure louder.")
    return Loop(name, hz, turned, believed, offset_db)


def together(name: str, loops: Sequence[Loop]) -> Loop:
    """The loop of several microphones that are open at once: their sum.

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
    return Loop(
        name,
        first.frequency_hz,
        np.sum([loop.as_set for loop in loops], axis=0),
        np.any([loop.believed for loop in loops], axis=0),
        0.0 if known else None,
    )
