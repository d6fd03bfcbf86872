"""From spots, target and limits to a problem that can be fitted."""

import math
from dataclasses import dataclass

import numpy as np

from calc.signals.equalise.answers import HARD_BOOST_DB, Limits
from calc.signals.equalise.mask import Mask, mask_of
from calc.signals.equalise.peaks import Floats, place_of
from calc.signals.equalise.problem import Problem
from calc.signals.equalise.settable import ends
from calc.signals.equalise.spots import MIDS_HZ, Heard, grid_hz
from calc.signals.equalise.targets import TargetCurve
from calc.system import ProcessorAbilities

FEWEST_PLACES = 12

LOWEST_LAID_DB, LAID_STEP_DB = -4.0, 0.5
LOSS = 0.25
"""1. A decibel of level is given away for so many decibels less that no filter could lift: cuts
cost no headroom, and gain makes up for them. Own choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """The problem, the target laid through the average, and what is left alone."""

    problem: Problem
    target_db: Floats
    mask: Mask


def asked(
    heard: Heard, target: TargetCurve, abilities: ProcessorAbilities, limits: Limits
) -> Asked:
    """Lay the target through the average over the mids, or a little lower, and see what to do."""
    hz = grid_hz()
    shape = target.at(hz)
    mids = (hz >= MIDS_HZ[0]) & (hz <= MIDS_HZ[1]) & heard.enough
    off = heard.average_db - shape
    laid = shape + (float(np.median(off[mids])) if mids.any() else float(np.nanmedian(off)))
    sampling_hz = abilities.sampling_hz.value
    top = math.inf if sampling_hz is None else 0.475 * sampling_hz
    mask = mask_of(heard, heard.average_db - laid, limits.low_hz, min(limits.high_hz, top), hz)
    boost = min(limits.boost_db, HARD_BOOST_DB)
    # Beyond the range that was asked for a skirt may lie, as far as the system reaches.
    ceiling = np.where(mask.liftable | (mask.reasons == "outside"), boost, 0.0)
    missing = np.nan_to_num(laid - heard.average_db)
    laid = laid + _lower_db(missing - ceiling, mask.weight)
    wanted = np.nan_to_num(laid - heard.average_db)
    wanted = np.clip(wanted, -limits.cut_db, ceiling)
    least, most = bounds(abilities, limits, boost)
    place = place_of(np.minimum(hz, top), sampling_hz)
    return Asked(Problem(place, wanted, mask.weight, ceiling, least, most), laid, mask)


def _lower_db(out_of_reach: Floats, weight: Floats) -> float:
    """By how much the target is laid lower, 0 or less, so that less lies out of reach."""
    power = weight**2
    best, least = 0.0, math.inf
    for offset in np.arange(0.0, LOWEST_LAID_DB - 0.1, -LAID_STEP_DB):
        left = np.maximum(out_of_reach + offset, 0.0)
        cost = float(np.sqrt((power * left**2).sum() / max(power.sum(), 1e-12))) - LOSS * offset
        if cost < least - 1e-12:
            best, least = float(offset), cost
    return best


def bounds(abilities: ProcessorAbilities, limits: Limits, boost_db: float) -> tuple[Floats, Floats]:
    """Of place, gain and ln Q, (3,) each: the narrower of dial and limit."""
    sampling_hz = abilities.sampling_hz.value
    top = math.inf if sampling_hz is None else 0.475 * sampling_hz
    sides = (
        (ends(abilities.filter_hz), (limits.low_hz, min(limits.high_hz, top))),
        (ends(abilities.filter_gain_db), (-limits.cut_db, boost_db)),
        (ends(abilities.filter_q), (limits.least_q, limits.most_q)),
    )
    least = [max(dial[0], limit[0]) for dial, limit in sides]
    most = [min(dial[1], limit[1]) for dial, limit in sides]
    most = [max(low, high) for low, high in zip(least, most, strict=True)]
    return (
        np.array([float(place_of(least[0], sampling_hz)), least[1], math.log(least[2])]),
        np.array([float(place_of(most[0], sampling_hz)), most[1], math.log(most[2])]),
    )


def cannot(found: Asked, abilities: ProcessorAbilities, limits: Limits) -> tuple[str, ...]:
    """Why nothing can be fitted."""
    said = []
    if abilities.kinds and "peak" not in abilities.kinds:
        said.append("This processor has no peak filters: use its graphic equaliser, or another.")
    if abilities.filters_per_output == 0 or limits.filters == 0:
        said.append("No filter is free: allow one at least.")
    if int((found.problem.weight > 0).sum()) < FEWEST_PLACES:
        said.append(
            "Too little of the range can be believed: measure again, louder, at more spots."
        )
    return tuple(said)
