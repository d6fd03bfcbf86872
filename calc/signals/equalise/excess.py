"""Where a response is not of minimum phase: a filter lifts such a dip only to bring a ringing."""

import numpy as np
from numpy.typing import NDArray

from calc.signals.equalise.peaks import Floats
from calc.signals.measuring.transfer import BandedTransfer
from calc.signals.minimum_phase import minimum_phase_deg

TURN_DEG = 180.0
"""Degrees. The excess phase turns by 360 around a zero outside of the unit circle, half of it
close by."""

REACH = 2
"""Places of a twelfth of an octave to either side, over which the turn is looked for."""

TREND = 12
"""Places to either side over which the even run is taken: what is left of the arrival."""


def runs_away(found: BandedTransfer) -> NDArray[np.bool_]:
    """Places, (n,), where the excess phase turns by half a circle within a third of an octave.

    Unknown places are never flagged: they are not believed anyway.
    """
    level = np.array([np.nan if v is None else v for v in found.level_db], dtype=np.float64)
    phase = np.array([np.nan if v is None else v for v in found.phase_deg], dtype=np.float64)
    flags = np.zeros(len(level), dtype=np.bool_)
    known = np.nonzero(np.isfinite(level) & np.isfinite(phase) & np.array(found.usable))[0]
    if len(known) < 4 * TREND:
        return flags
    hz = np.array(found.frequency_hz)[known]
    least = minimum_phase_deg(hz, level[known], hz)
    excess = np.degrees(np.unwrap(np.radians(phase[known] - least)))
    flags[known] = _turns(excess) > TURN_DEG
    return flags


def _turns(excess: Floats) -> Floats:
    """How far the phase turns around each place, re its median turn over an octave each way."""
    padded = np.pad(excess, REACH, mode="edge")
    turn = padded[2 * REACH :] - padded[: -2 * REACH]
    around = np.pad(turn, TREND, mode="reflect")
    windows = np.lib.stride_tricks.sliding_window_view(around, 2 * TREND + 1)
    turned: Floats = np.abs(turn - np.median(windows, axis=1))
    return turned
