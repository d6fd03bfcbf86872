"""Decay times per octave or third octave, ISO 3382, with what speaks against each."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.measuring.bandpass import BandEnergy, energies, middles_of
from calc.signals.measuring.lines import straight
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.tail import Decay, decay_of

Floats = NDArray[np.float64]
Drawn = dict[str, tuple[float, float] | None]
"""Time in s and unevenness of each span, None where it could not be drawn."""

SPANS_DB = {"EDT": (0.0, -10.0), "T20": (-5.0, -25.0), "T30": (-5.0, -35.0)}
NEEDED_DB = {"EDT": 20.0, "T20": 35.0, "T30": 45.0}
"""dB over the noise that an evaluation needs (ISO 3382, bnoack.com/acoustic/RT-measurement.html,
READ; that of EDT is our own: its 10 dB and 10 more)."""

LEANING_PERCENT = 10.0
"""100 (T30/T20 - 1): above it the decay is far from straight (ISO 3382-2, RECALL)."""

BENT_PERCENT = 25.0
"""Own choice: from here no single number describes it."""

UNEVEN = 0.01
"""1 - r^2 of the line through T20's span (ISO 3382-2: 10 per mille, RECALL)."""

STEADY_BT = 100.0
"""Bandwidth times decay time from which chance alone leaves no such unevenness. Own choice."""

LEAST_BT = 8.0
"""Bandwidth times decay time: below it too much of the filter's own ringing is measured, which by
itself reads 4. Own choice; ISO 3382 demands 16 of plain filters (RECALL)."""

SCATTER = {"EDT": 1.24, "T20": 0.88, "T30": 0.55}
AVERAGING = {"EDT": 2.3, "T20": 1.90, "T30": 1.52}
"""Of ISO 3382's standard deviation, RECALL; those of EDT are ours, by the span's length."""

IMPULSE_DECAYS = 10
"""An integrated response is worth so many interrupted noises (ISO 3382, RECALL)."""


@dataclass(frozen=True, slots=True)
class BandDecay:
    """Decay times of a band in s; None where the response can't say, and `cannot` says why.

    `uncertainty_s` is twice the standard deviation of the longest span given. `curvature_percent`
    is 100 (T30/T20 - 1) where both could be drawn; `range_db` from the peak to the noise.
    `warnings` are sentences on a number that is given all the same.
    """

    frequency_hz: float
    edt_s: float | None
    t20_s: float | None
    t30_s: float | None
    uncertainty_s: float | None
    range_db: float | None
    curvature_percent: float | None
    warnings: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()


def decay_times(
    response: Response, fraction: int = 1, low_hz: float = 125.0, high_hz: float = 8000.0
) -> tuple[BandDecay, ...]:
    """All bands from one nominal frequency to another.

    Parameters
    ----------
    fraction : int
        1: octaves, 3: third octaves.

    Raises
    ------
    ValueError
        Another fraction.
    """
    middles = middles_of(fraction, low_hz, high_hz)
    heard = response.samples[response.onset :]
    return tuple(
        _of_band(band) for band in energies(heard, response.sampling_hz, middles, fraction)
    )


def _of_band(band: BandEnergy) -> BandDecay:
    decay = decay_of(band)
    if decay is None:
        why = "Nothing decays in this band: check that the loudspeaker plays it."
        return BandDecay(band.frequency_hz, None, None, None, None, None, None, cannot=(why,))
    drawn = {name: _time(decay, span) for name, span in SPANS_DB.items()}
    curvature = _curvature(drawn)
    cannot, warnings = _refusals(band, decay, drawn, curvature)
    given = {name: None if name in cannot else found[0] for name, found in drawn.items() if found}
    return BandDecay(
        frequency_hz=band.frequency_hz,
        edt_s=given.get("EDT"),
        t20_s=given.get("T20"),
        t30_s=given.get("T30"),
        uncertainty_s=_uncertainty(given, band.width_hz),
        range_db=decay.range_db,
        curvature_percent=curvature,
        warnings=warnings,
        cannot=tuple(dict.fromkeys(cannot.values())),
    )


def _time(decay: Decay, span: tuple[float, float]) -> tuple[float, float] | None:
    """Time for 60 dB by a line through a span, and 1 - r^2; None where it isn't reached."""
    top, bottom = span
    begin = int(np.argmax(decay.level_db <= top))
    below = np.nonzero(decay.level_db <= bottom)[0]
    if not len(below) or below[0] - begin < 3:
        return None
    times, level = decay.times_s[begin : below[0] + 1], decay.level_db[begin : below[0] + 1]
    slope, _, left = straight(times, level)
    return (-60 / slope, left) if slope < 0 else None


def _curvature(drawn: Drawn) -> float | None:
    short, long = drawn["T20"], drawn["T30"]
    if short is None or long is None:
        return None
    return 100 * (long[0] / short[0] - 1)


def _refusals(
    band: BandEnergy, decay: Decay, drawn: Drawn, curvature: float | None
) -> tuple[dict[str, str], tuple[str, ...]]:
    """Why each span's number is withheld, and warnings on those that are given."""
    cannot: dict[str, str] = {}
    for name, needed in NEEDED_DB.items():
        if decay.range_db < needed:
            cannot[name] = (
                f"{name} needs {needed:.0f} dB over the noise and there are "
                f"{max(decay.range_db, 0):.0f} dB: play louder, or make it quieter."
            )
        elif drawn[name] is None:
            cannot[name] = f"The decay is too fast for {name} to be drawn in this band."
    longest = drawn["T30"] or drawn["T20"] or drawn["EDT"]
    if longest is not None and longest[0] * band.width_hz < LEAST_BT:
        why = (
            f"The decay is too short for a band {band.width_hz:.0f} Hz wide, whose filter rings as "
            "long. Use octaves."
        )
        return dict.fromkeys(SPANS_DB, why), ()
    bend, warnings = _shape(band, drawn, curvature)
    if bend:
        cannot["T20"] = cannot["T30"] = bend
    return cannot, warnings


def _shape(
    band: BandEnergy, drawn: Drawn, curvature: float | None
) -> tuple[str | None, tuple[str, ...]]:
    """Why the decay is bent, if it is; else warnings. Chance bends narrow bands too."""
    if curvature is None or drawn["T20"] is None:
        return None, ()
    chance = 100 * _scatter("T20", drawn["T20"][0], band.width_hz)
    if abs(curvature) > max(BENT_PERCENT, chance):
        return (
            f"The decay is bent: T30 is {curvature:+.0f} % off T20, so that no single time "
            "describes it. Look at its curve: there may be two rooms, or a close reflection."
        ), ()
    if abs(curvature) > max(LEANING_PERCENT, chance / 2):
        return None, (
            f"The decay is not quite straight: T30 is {curvature:+.0f} % off T20. Take its time "
            "with care.",
        )
    if drawn["T20"][1] > UNEVEN and drawn["T20"][0] * band.width_hz > STEADY_BT:
        return None, ("The decay falls unevenly. Take its time with care.",)
    return None, ()


def _uncertainty(given: dict[str, float | None], width_hz: float) -> float | None:
    for name in ("T30", "T20", "EDT"):
        time = given.get(name)
        if time is not None:
            return time * _scatter(name, time, width_hz)
    return None


def _scatter(name: str, time_s: float, width_hz: float) -> float:
    """Twice the standard deviation that chance leaves, as a share of the time."""
    return (
        2 * SCATTER[name] * math.sqrt((1 + AVERAGING[name] / IMPULSE_DECAYS) / (width_hz * time_s))
    )
