"""A drive line as a network: volts, current and power at each box, over frequency.

The amplifier is a voltage source behind its source impedance; cables are resistances that branch
like a tree; boxes are complex impedances, alone or in series with one another.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calc.electrical.ladder import LEAST_SHARE

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

MOST_VALUES = 2_000_000
"""Boxes times frequencies that are solved at once (about 130 MB)."""


@dataclass(frozen=True, slots=True)
class NetworkBox:
    """A box, and the cable that leads to it.

    Parameters
    ----------
    name : str
        Unique on the line.
    after : str or None
        The box at whose terminals its cable starts; None is the amplifier.
    loop_ohm : float
        Resistance of both conductors of its cable, 0 or more.
    impedance_ohm : complex, or array of complex (frequencies,)
        Not zero; its real part is not negative, as a box makes no power.
    in_series : bool
        In series with `after`, which is then a box; the cable lies between the two.
    """

    name: str
    after: str | None
    loop_ohm: float
    impedance_ohm: ArrayLike
    in_series: bool = False


@dataclass(frozen=True, slots=True)
class Solution:
    """All volts and currents, complex rms; rows are boxes in the order given, columns frequencies.

    `box_v` and `box_a` belong to the boxes, `cable_a` to the cables that lead to them,
    `without_cable_v` is `box_v` if no cable had any resistance (at the same terminals).
    `terminals_v` and `source_a` (frequencies,) belong to the amplifier.
    """

    source_v: float
    output_ohm: float
    loops_ohm: Floats
    box_v: Complexes
    box_a: Complexes
    cable_a: Complexes
    without_cable_v: Complexes
    terminals_v: Complexes
    source_a: Complexes

    @property
    def box_w(self) -> Floats:
        """Real power in each box, W."""
        return np.real(self.box_v * np.conj(self.box_a))

    @property
    def cable_w(self) -> Floats:
        """Power that heats each cable, W."""
        return np.abs(self.cable_a) ** 2 * self.loops_ohm[:, None]

    @property
    def terminals_w(self) -> Floats:
        """Real power out of the amplifier's terminals, W (frequencies,)."""
        return np.real(self.terminals_v * np.conj(self.source_a))

    @property
    def loss_db(self) -> Floats:
        """Level lost in the cables at each box, dB, positive = lost; 300 dB is nothing left."""
        left = np.abs(self.box_v) / np.abs(self.without_cable_v)
        return -20 * np.log10(np.maximum(left, LEAST_SHARE))


def solve(boxes: Sequence[NetworkBox], source_v: float = 1.0, output_ohm: float = 0.0) -> Solution:
    """Solve a line.

    Parameters
    ----------
    boxes : sequence of NetworkBox
        In any order. All impedance arrays have one length.
    source_v : float
        rms volts of the source, before its source impedance.
    output_ohm : float
        Source impedance, 0 or more.

    Raises
    ------
    ValueError
        In words: no box, an impedance that cannot be, a cable that leads nowhere or in a loop.
    """
    _demand_sense(boxes, source_v, output_ohm)
    impedance = _impedances(boxes)
    heads, order = _heads(boxes)
    loops = np.array([box.loop_ohm for box in boxes], dtype=np.float64)
    branch, bare = _branches(boxes, heads, impedance, loops)
    rows = {box.name: row for row, box in enumerate(boxes)}
    parents = [-1 if box.after is None else heads[rows[box.after]] for box in boxes]
    nodes = [row for row in order if heads[row] == row]
    admittance = 1 / branch  # of each node, with everything beyond it
    into = np.zeros(impedance.shape[1], dtype=np.complex128)
    for row in reversed(nodes):
        seen = admittance[row] / (1 + loops[row] * admittance[row])
        if parents[row] < 0:
            into += seen
        else:
            admittance[parents[row]] += seen
    terminals = source_v / (1 + output_ohm * into)
    volts, cable_a = np.empty_like(impedance), np.empty_like(impedance)
    for row in nodes:
        above = terminals if parents[row] < 0 else volts[parents[row]]
        volts[row] = above / (1 + loops[row] * admittance[row])
        cable_a[row] = admittance[row] * volts[row]
    box_a = (volts[heads] / branch[heads]) if len(nodes) < len(boxes) else volts / branch
    joined = [row for row, head in enumerate(heads) if head != row]
    cable_a[joined] = box_a[joined]
    return Solution(
        source_v,
        output_ohm,
        loops,
        box_a * impedance,
        box_a,
        cable_a,
        terminals * impedance / bare[heads],
        terminals,
        into * terminals,
    )


def _demand_sense(boxes: Sequence[NetworkBox], source_v: float, output_ohm: float) -> None:
    if not boxes:
        raise ValueError("No box hangs on this line.")
    if not (np.isfinite(source_v) and np.isfinite(output_ohm) and output_ohm >= 0):
        raise ValueError("The amplifier's volts and source impedance must be numbers from 0 up.")
    for box in boxes:
        if not (np.isfinite(box.loop_ohm) and box.loop_ohm >= 0):
            raise ValueError(f"The cable to {box.name} must have a resistance from 0 ohm up.")


def _impedances(boxes: Sequence[NetworkBox]) -> Complexes:
    arrays = [np.atleast_1d(np.asarray(box.impedance_ohm, dtype=np.complex128)) for box in boxes]
    lengths = {len(array) for array in arrays if len(array) != 1} or {1}
    if len(lengths) > 1 or 0 in lengths or any(array.ndim != 1 for array in arrays):
        raise ValueError("All boxes need their impedance at the same frequencies.")
    (count,) = lengths
    if len(boxes) * count > MOST_VALUES:
        raise ValueError(
            f"{len(boxes)} boxes at {count} frequencies are too many for one line. Split it up."
        )
    impedance = np.empty((len(boxes), count), dtype=np.complex128)
    for row, array in enumerate(arrays):
        impedance[row] = array
    wrong = ~np.isfinite(impedance) | (impedance == 0) | (impedance.real < 0)
    if wrong.any():
        name = boxes[int(np.argmax(wrong.any(axis=1)))].name
        raise ValueError(f"The impedance of {name} must be a number above 0 ohm.")
    return impedance


def _heads(boxes: Sequence[NetworkBox]) -> tuple[list[int], list[int]]:
    """For each box the first of its series, and an order in which each comes after its `after`."""
    rows = {box.name: row for row, box in enumerate(boxes)}
    if len(rows) < len(boxes):
        raise ValueError("Two boxes on this line have the same name.")
    beyond: dict[int, list[int]] = {}
    for row, box in enumerate(boxes):
        if box.after is not None and box.after not in rows:
            raise ValueError(
                f"{box.name} hangs on '{box.after}', which is not on this line: "
                "no cable leads from it to the amplifier."
            )
        beyond.setdefault(-1 if box.after is None else rows[box.after], []).append(row)
    heads, order = list(range(len(boxes))), []
    waiting = list(reversed(beyond.get(-1, [])))
    while waiting:
        row = waiting.pop()
        box = boxes[row]
        if box.in_series:
            if box.after is None:
                raise ValueError(f"{box.name} is in series with no box.")
            heads[row] = heads[rows[box.after]]
        order.append(row)
        waiting += reversed(beyond.get(row, []))
    if len(order) < len(boxes):
        name = boxes[min(set(range(len(boxes))) - set(order))].name
        raise ValueError(f"The cable to {name} runs in a loop that never comes from the amplifier.")
    return heads, order


def _branches(
    boxes: Sequence[NetworkBox], heads: list[int], impedance: Complexes, loops: Floats
) -> tuple[Complexes, Complexes]:
    """Impedance of each series at its first box's row, with and without the cable in between."""
    branch, bare = impedance.copy(), impedance.copy()
    for row, head in enumerate(heads):
        if head != row:
            branch[head] += impedance[row] + loops[row]
            bare[head] += impedance[row]
    if (branch[heads] == 0).any() or (bare[heads] == 0).any():
        raise ValueError("Boxes in series add up to 0 ohm: their impedances cannot be right.")
    return branch, bare
