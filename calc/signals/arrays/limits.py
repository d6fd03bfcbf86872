"""How high an array can be used for its spacing."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from calc.prediction import State
from calc.signals.arrays.answers import ArrayKind, ArrayLimit
from calc.signals.arrays.delays import ROW_M, rows_of
from calc.words import number

TIGHT = 2 ** (1 / 3)
"""1. Within a third of an octave of the limit it is tight. Own choice."""

Floats = NDArray[np.float64]


def limits_of(
    kind: ArrayKind, ahead_m: Floats, right_m: Floats, speed_m_s: float, design_hz: float
) -> Iterator[ArrayLimit]:
    """The limits that the widest spacing sets. MATH: half a wavelength between neighbours."""
    if kind in ("gradient", "end-fire"):
        yield from _along(kind, rows_of(ahead_m), speed_m_s, design_hz)
    across = rows_of(right_m)
    if len(across) > 1:
        yield _across(max(np.diff(across)), speed_m_s, design_hz)


def _along(
    kind: ArrayKind, rows: list[float], speed_m_s: float, design_hz: float
) -> Iterator[ArrayLimit]:
    if len(rows) < 2:
        return
    spacing = float(max(np.diff(rows)))
    end = speed_m_s / (2 * spacing)
    wished = speed_m_s / (4 * design_hz)
    if kind == "gradient":
        name, happens = "silence ahead", "the two rows cancel along the aim"
    else:
        name, happens = "as loud behind", "it plays backwards as loudly as forwards"
    yield _limit(name, end, spacing, design_hz, happens, f"{number(wished)} m (a quarter wave)")


def _across(spacing: float, speed_m_s: float, design_hz: float) -> ArrayLimit:
    end = speed_m_s / (2 * spacing)
    most = speed_m_s / (2 * design_hz)
    happens = "nulls and lobes stand to the sides"
    return _limit("lobes to the sides", end, spacing, design_hz, happens, f"{number(most)} m")


def _limit(
    name: str, end: float, spacing: float, design_hz: float, happens: str, wished: str
) -> ArrayLimit:
    state: State = "holds"
    if end < design_hz * TIGHT:
        state = "tight" if end >= design_hz else "fails"
    sentence = f"From {number(end)} Hz or so {happens}: {number(spacing)} m apart"
    if state == "holds":
        sentence += f". For {number(design_hz)} Hz that holds."
    else:
        sentence += f". For {number(design_hz)} Hz stand them {wished} apart."
    return ArrayLimit(name, end, spacing, state, sentence)


def too_near(positions: Floats) -> bool:
    """Whether two boxes stand at one and the same place."""
    apart = np.linalg.norm(positions[:, None] - positions, axis=2)
    return bool((apart + np.eye(len(positions)) < ROW_M).any())
