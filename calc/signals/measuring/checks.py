"""What is wrong with a recording, said before anything is computed from it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calc.signals.measuring.spectra import rows_of

FULL = 0.9995
"""1. A sample from here on may have been cut."""

CUT_IN_A_ROW = 3
"""So many samples at full scale in a row were cut: a pure tone's peak has them up to about
fs / 140 only."""

FLAT_IN_A_ROW = 6
"""So many samples alike at the highest peak were cut before they came here."""

LEAST_SIGNAL_DB = 15.0
"""dB of the signal over the noise; 30 is good. Common practice, no source."""

SILENT_DB = -80.0
"""dB re full scale: below it a recording holds nothing but a converter's own noise."""

QUIET_DB = -50.0
"""dB re full scale: below it the input's gain is too low to trust."""

AT_ONCE = 1 << 20


@dataclass(frozen=True, slots=True)
class Checked:
    """Sentences: with `faults` nothing should be computed, `warnings` go with the result."""

    faults: tuple[str, ...]
    warnings: tuple[str, ...]
    peak_db: float
    rms_db: float
    signal_over_noise_db: float | None = None


def checked(
    samples: ArrayLike,
    sampling_hz: float,
    *,
    least_s: float = 5.0,
    needs_reference: bool = False,
    reference: ArrayLike | None = None,
    reference_hz: float | None = None,
    noise: ArrayLike | None = None,
) -> Checked:
    """Look at a recording's first channel.

    Parameters
    ----------
    samples : (n,) or (channels, n)
        Full scale is 1.
    least_s : float
        What the measurement needs.
    needs_reference : bool
        Whether it compares with a reference: (m,) at `reference_hz`.
    noise : (k,), optional
        The same input while nothing plays.
    """
    row = rows_of(samples)[0]
    faults = _of_length(row, sampling_hz, least_s)
    peak, rms, cut = _sizes(row)
    faults += _of_size(rms, cut)
    if needs_reference:
        faults += _of_reference(reference, reference_hz, sampling_hz)
    warnings: tuple[str, ...] = ()
    if SILENT_DB <= rms < QUIET_DB:
        warnings = (f"The recording is very quiet, {rms:.0f} dB re full scale: turn the input up.",)
    over = None if noise is None else _over_noise_db(rms, noise)
    if over is not None and over < LEAST_SIGNAL_DB:
        faults += (
            f"The signal stands {max(over, 0):.0f} dB over the noise and {LEAST_SIGNAL_DB:.0f} dB "
            "are needed: play louder, or make it quieter.",
        )
    return Checked(faults, warnings, peak, rms, over)


def _of_length(row: NDArray, sampling_hz: float, least_s: float) -> tuple[str, ...]:
    lasting = len(row) / sampling_hz
    if lasting < least_s:
        return (
            f"The recording lasts {lasting:.1f} s and {least_s:g} s are needed: record longer.",
        )
    return ()


def _of_size(rms_db: float, cut: int) -> tuple[str, ...]:
    if math.isnan(rms_db):
        return ("The recording holds values that are no numbers: record again.",)
    if rms_db < SILENT_DB:
        return ("The recording is silent: check the cable, the input and phantom power.",)
    if cut:
        times = "once" if cut == 1 else f"{cut} times"
        return (f"The recording clips, {times}: turn the input down and record again.",)
    return ()


def _of_reference(
    reference: ArrayLike | None, reference_hz: float | None, sampling_hz: float
) -> tuple[str, ...]:
    if reference is None or not np.size(reference):
        return (
            "The reference is missing: record the electrical signal on the second channel, or "
            "play a test signal from here.",
        )
    if reference_hz is not None and reference_hz != sampling_hz:
        return (
            f"The recording has {sampling_hz / 1000:g} kHz and its reference "
            f"{reference_hz / 1000:g} kHz: record both at one sampling rate.",
        )
    if _sizes(rows_of(reference)[0])[1] < SILENT_DB:
        return ("The reference is silent: check its cable and input.",)
    return ()


def _over_noise_db(rms_db: float, noise: ArrayLike) -> float:
    """Of the signal alone: the recording's power less the noise's."""
    floor = _sizes(rows_of(noise)[0])[1]
    signal = 10 ** (rms_db / 10) - 10 ** (floor / 10)
    return 10 * math.log10(signal) - floor if signal > 0 else 0.0


def _sizes(row: NDArray) -> tuple[float, float, int]:
    """Peak and rms in dB re full scale, and how many times it was cut."""
    top, energy = 0.0, 0.0
    for start in range(0, len(row), AT_ONCE):
        part = np.asarray(row[start : start + AT_ONCE], dtype=np.float64)
        top = max(top, float(np.abs(part).max()))
        energy += float(part @ part)
    rms = energy / max(len(row), 1)
    if not math.isfinite(rms):
        return math.nan, math.nan, 0
    return 20 * _lg(top), 10 * _lg(rms), _cuts(row, top)


def _cuts(row: NDArray, top: float) -> int:
    """How many stretches lie at full scale, or flat at the highest peak."""
    if top <= 0:
        return 0
    level, least = (FULL, CUT_IN_A_ROW) if top >= FULL else (top * (1 - 1e-7), FLAT_IN_A_ROW)
    found = 0
    for start in range(0, len(row), AT_ONCE):
        # A stretch over the border is seen from the piece in which it is whole.
        part = np.asarray(row[max(0, start - least) : start + AT_ONCE])
        found += _runs_from(part >= level, least) + _runs_from(part <= -level, least)
    return found


def _runs_from(high: NDArray[np.bool_], least: int) -> int:
    if not high.any():
        return 0
    turns = np.diff(np.concatenate([[0], high.view(np.int8), [0]]))
    lengths = np.nonzero(turns == -1)[0] - np.nonzero(turns == 1)[0]
    return int((lengths >= least).sum())


def _lg(value: float) -> float:
    return math.log10(value) if value > 0 else -20.0
