"""Limiter thresholds at the processor's output."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.constants import NOISE_CREST_DB
from calc.electrical.gain import dbu
from calc.system import Way


@dataclass(frozen=True, slots=True)
class Thresholds:
    """rms and peak threshold in dBu; the peak one is an instantaneous voltage re sqrt(0.6) V.

    `exact_*` are before rounding down to the processor's step.
    """

    rms_dbu: float
    peak_dbu: float
    exact_rms_dbu: float
    exact_peak_dbu: float


def rated_volts(way: Way) -> float | None:
    """rms volts of the rated noise power into the rated impedance, V = sqrt(P Z)."""
    power, impedance = way.noise_power_w.value, way.rated_impedance_ohm.value
    return None if power is None or impedance is None else math.sqrt(power * impedance)


def peak_volts(way: Way) -> float | None:
    """Highest instantaneous volts: twice the rated rms (6 dB crest), or the peak rating's.

    The stated peak power counts where it gives less: V = sqrt(P_peak Z), so that four times
    the noise power is the same 6 dB.
    """
    rms = rated_volts(way)
    if rms is None:
        return None
    by_crest = rms * 10 ** (NOISE_CREST_DB / 20)
    peak, impedance = way.peak_power_w.value, way.rated_impedance_ohm.value
    if peak is None or impedance is None:
        return by_crest
    return min(by_crest, math.sqrt(peak * impedance))


def stated_peak_volts(way: Way) -> float | None:
    """Instantaneous volts of the stated peak power; not stated: 6 dB above the rated rms."""
    peak, impedance = way.peak_power_w.value, way.rated_impedance_ohm.value
    if peak is not None and impedance is not None:
        return math.sqrt(peak * impedance)
    return peak_volts(way)


def lowest_volts(values: Sequence[float | None]) -> float | None:
    """The lowest of all; None if one is unknown or there is none."""
    known = [value for value in values if value is not None]
    return min(known) if known and len(known) == len(values) else None


def rounded_down(value: float, step: float | None) -> float:
    """Down to a whole number of steps (above 0); unchanged where the step is unknown."""
    if step is None:
        return value
    steps = math.floor(value / step)
    result = round(steps * step, 9)
    while result > value:
        steps -= 1
        result = round(steps * step, 9)
    return result


def thresholds(
    rms_v: float, peak_v: float, gain_db: float, level_control_db: float, step_db: float | None
) -> Thresholds:
    """Thresholds that hold the line at given volts, at the processor's output.

    Parameters
    ----------
    rms_v, peak_v : float
        Lowest rated rms and instantaneous volts of the boxes on the line; no credit is taken
        for what is lost in the cable.
    gain_db : float
        Gain to the line, the mode's extra gain included.
    level_control_db : float
        0 fully up, negative below: it lowers the gain, so that the threshold rises.
    step_db : float or None
        The processor's finest step.
    """
    rms = dbu(rms_v) - gain_db - level_control_db
    peak = dbu(peak_v) - gain_db - level_control_db
    return Thresholds(rounded_down(rms, step_db), rounded_down(peak, step_db), rms, peak)
