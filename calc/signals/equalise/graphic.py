"""A 31-band graphic equaliser whose neighbours add up as wished: all its gains fitted at once.

Its bands are peaks at the exact middles of IEC 61260-1 from 20 Hz to 20 kHz. Each lifts its
neighbours too, so that sliders set to what is missing overshoot; here the sum is fitted.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from calc.acoustics import bands
from calc.figure import Figure
from calc.signals.equalise.answers import HARD_BOOST_DB, Equalisation, Limits
from calc.signals.equalise.asked import asked
from calc.signals.equalise.dialled import settled
from calc.signals.equalise.equalise import answer, filters_of
from calc.signals.equalise.peaks import Floats, level_db, place_of
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.refine import refined
from calc.signals.equalise.spots import SpotResponse, together
from calc.signals.equalise.targets import TargetCurve
from calc.system import Dial, ProcessorAbilities

NUMBERS = range(-17, 14)
"""Band numbers of 20 Hz to 20 kHz; 0 is 1 kHz."""

BAND_Q = 1 / (2 * math.sinh(math.log(2) / 6))
"""4.318: a third of an octave between the half-gain edges of an analogue peak. MATH."""

GAIN = Dial(-12.0, 12.0, 0.5)


def graphic(
    spots: Sequence[SpotResponse],
    target: TargetCurve,
    limits: Limits | None = None,
    gain: Dial = GAIN,
    q: float = BAND_Q,
    sampling_hz: Figure | None = None,
) -> Equalisation:
    """Sliders of a 31-band equaliser; its `filters` are all 31, also those at 0 dB.

    Parameters
    ----------
    gain : Dial
        The sliders' range and steps, dB.
    q : float
        Of its bands; a third of an octave's by default.
    sampling_hz : Figure, optional
        None: an analogue one.

    Raises
    ------
    ValueError
        As `equalise`.
    """
    limits = limits or Limits()
    abilities = ProcessorAbilities(filters_per_output=len(NUMBERS), filter_gain_db=gain)
    if sampling_hz is not None:
        abilities = replace(abilities, sampling_hz=sampling_hz)
    heard = together(spots)
    found = asked(heard, target, abilities, limits)
    middles = np.array([bands.exact_hz(number) for number in NUMBERS])
    peaks = np.stack(
        [
            place_of(middles, abilities.sampling_hz.value),
            np.zeros(len(middles)),
            np.full(len(middles), math.log(q)),
        ],
        axis=1,
    )
    least, most = peaks.copy(), peaks.copy()
    least[:, 1], most[:, 1] = _gains(gain, limits)
    problem = found.problem.strict().held(least, most)
    peaks = settled(problem, _fitted(problem, peaks), abilities)
    equaliser = level_db(problem.place, peaks)
    filters = filters_of(peaks, abilities.sampling_hz.value)
    return answer(spots, heard, found, filters, equaliser, abilities, (), ())


def _gains(gain: Dial, limits: Limits) -> tuple[float, float]:
    least = -limits.cut_db if gain.least is None else max(gain.least, -limits.cut_db)
    boost = min(limits.boost_db, HARD_BOOST_DB)
    return least, boost if gain.most is None else min(gain.most, boost)


STILL = 0.02
"""1. Weight of places that are left alone: sliders there stay near 0, not anywhere."""


def _fitted(problem: Problem, peaks: Floats) -> Floats:
    weight = np.where(problem.weight > 0, problem.weight, STILL)
    wanted = np.where(problem.weight > 0, problem.wanted_db, 0.0)
    return refined(replace(problem, weight=weight, wanted_db=wanted), peaks, rounds=60)
