"""Limiter thresholds at the processor's output."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.constants import NOISE_CREST_DB
from calc.electrical.gain import dbu
from calc.system import Way
from calc.words import number


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


def programme_volts(way: Way) -> float | None:
    """rms volts of the programme power, never so high that a sine's peak passes the peak volts."""
    power, impedance = way.programme_power_w.value, way.rated_impedance_ohm.value
    if power is None or impedance is None:
        return None
    peak = peak_volts(way)
    return None if peak is None else min(math.sqrt(power * impedance), peak / math.sqrt(2))


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


@dataclass(frozen=True, slots=True)
class Times:
    """Attack and release of the rms limiter in ms; None where the way's band is unknown."""

    attack_ms: float | None
    release_ms: float | None
    working: str


SHORTEST_ATTACK_MS, LONGEST_ATTACK_MS = 0.3, 50.0
RELEASE_PER_ATTACK = 16.0


def limiter_times(
    ways: Sequence[Way], attack_ms: float | None = None, release_ms: float | None = None
) -> Times:
    """Attack and release by the ways' lowest frequencies, or as somebody chose them.

    Parameters
    ----------
    attack_ms, release_ms : float, optional
        Chosen by hand; each counts before the rule's.

    Notes
    -----
    Rule (common practice, no source): attack is one period of the lowest frequency, within 0.3
    to 50 ms, release 16 times as long: quicker ones follow the wave itself and distort it,
    slower ones let heat through. The shortest attack of several ways counts, and it is rounded
    down to two figures.
    """
    lows = [way.low_hz.value for way in ways]
    known = [low for low in lows if low is not None]
    by_rule: float | None = None
    if known and len(known) == len(lows):
        by_rule = _two_figures_down(
            min(LONGEST_ATTACK_MS, max(SHORTEST_ATTACK_MS, 1000 / max(known)))
        )
    attack = by_rule if attack_ms is None else attack_ms
    release = RELEASE_PER_ATTACK * attack if attack is not None else None
    return Times(
        attack,
        release if release_ms is None else release_ms,
        _times_working(max(known) if by_rule is not None else None, attack_ms, release_ms),
    )


def _two_figures_down(value: float) -> float:
    step = float(10.0 ** (math.floor(math.log10(value)) - 1))
    return rounded_down(value, step)


def _times_working(low_hz: float | None, attack_ms: float | None, release_ms: float | None) -> str:
    rule = (
        "attack and release unknown, as the lowest frequency is"
        if low_hz is None
        else f"attack one period of {number(low_hz)} Hz, release 16 times that"
    )
    chosen = [
        f"{what} {number(value)} ms chosen by hand"
        for what, value in (("attack", attack_ms), ("release", release_ms))
        if value is not None
    ]
    return "Times: " + ", ".join([f"{rule} (common practice, no source)", *chosen]) + "."
