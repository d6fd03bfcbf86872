"""From what the spots hear to filters, with the reasons."""

import math
from collections.abc import Sequence

import numpy as np

from calc.signals.equalise.answers import HARD_BOOST_DB, Equalisation, Limits, SpotCurve
from calc.signals.equalise.asked import Asked, asked, cannot
from calc.signals.equalise.dialled import dialled
from calc.signals.equalise.grow import grown_and_pruned, without_idle
from calc.signals.equalise.mask import left_alone
from calc.signals.equalise.peaks import Floats, hz_of, level_db
from calc.signals.equalise.spots import Heard, SpotResponse, grid_hz, together
from calc.signals.equalise.targets import TargetCurve
from calc.system import Filter, ProcessorAbilities

USUAL_FILTERS = 8
"""Where nobody said how many filters the processor has."""

FEWEST_SPOTS = 4
"""Common practice, no source: 4 to 8 positions."""


def equalise(
    spots: Sequence[SpotResponse],
    target: TargetCurve,
    abilities: ProcessorAbilities | None = None,
    limits: Limits | None = None,
) -> Equalisation:
    """Fit a processor's peak filters to bring the spots' average towards a target.

    The same spots give the same filters, always. Places where spots disagree, where they can't be
    believed, and nulls get nothing, and are never lifted.

    Raises
    ------
    ValueError
        In words: no spots, or one that hears nothing over the mids.
    """
    abilities, limits = abilities or ProcessorAbilities(), limits or Limits()
    heard = together(spots)
    found = asked(heard, target, abilities, limits)
    refused = cannot(found, abilities, limits)
    filters: tuple[Filter, ...] = ()
    equaliser = np.zeros(len(grid_hz()))
    if not refused:
        peaks = _fitted(found, abilities, limits)
        equaliser = level_db(found.problem.place, peaks)
        filters = filters_of(peaks, abilities.sampling_hz.value)
    warnings = _warnings(spots, abilities, limits, found, equaliser)
    return answer(spots, heard, found, filters, equaliser, abilities, warnings, refused)


def _fitted(found: Asked, abilities: ProcessorAbilities, limits: Limits) -> Floats:
    """Peaks with settable values, from low to high."""
    offered = abilities.filters_per_output or USUAL_FILTERS
    count = offered if limits.filters is None else min(offered, limits.filters)
    peaks = without_idle(found.problem, grown_and_pruned(found.problem, count))
    peaks = dialled(found.problem, peaks, abilities, abilities.sampling_hz.value)
    peaks = peaks[peaks[:, 1] != 0]
    ordered: Floats = peaks[np.argsort(peaks[:, 0])]
    return ordered


def filters_of(peaks: Floats, sampling_hz: float | None) -> tuple[Filter, ...]:
    """Peaks (peaks, 3) as filters."""
    return tuple(
        Filter("peak", round(float(hz), 6), gain_db=float(gain), q=round(math.exp(width), 6))
        for hz, gain, width in zip(
            hz_of(peaks[:, 0], sampling_hz), peaks[:, 1], peaks[:, 2], strict=True
        )
    )


def answer(
    spots: Sequence[SpotResponse],
    heard: Heard,
    found: Asked,
    filters: tuple[Filter, ...],
    equaliser: Floats,
    abilities: ProcessorAbilities,
    warnings: tuple[str, ...],
    refused: tuple[str, ...],
) -> Equalisation:
    """All of it put together."""
    hz, problem = grid_hz(), found.problem
    counts = problem.weight > 0
    sampling_hz = abilities.sampling_hz.value
    return Equalisation(
        frequency_hz=tuple(hz.tolist()),
        filters=filters,
        equaliser_db=tuple(equaliser.tolist()),
        target_db=tuple(found.target_db.tolist()),
        average_db=optional(heard.average_db),
        predicted_db=optional(heard.average_db + equaliser),
        spread_db=optional(np.where(heard.known.any(axis=0), heard.spread_db, math.nan)),
        spots=tuple(
            SpotCurve(spot.name, optional(level), optional(level + equaliser))
            for spot, level in zip(spots, heard.level_db, strict=True)
        ),
        left_alone=left_alone(found.mask, hz),
        residual_before_db=_residual(found, heard, np.zeros(len(hz))) if counts.any() else None,
        residual_after_db=_residual(found, heard, equaliser) if counts.any() else None,
        headroom_db=max(0.0, float(equaliser.max())),
        pink_change_db=_pink_change_db(equaliser, found),
        basis="analogue filters, as the sampling rate is unknown"
        if sampling_hz is None
        else f"digital filters at {sampling_hz / 1000:g} kHz (bilinear, pre-warped)",
        warnings=warnings,
        cannot=refused,
    )


def _residual(found: Asked, heard: Heard, equaliser: Floats) -> float:
    """Over the places that count, against the target itself, also where it can't be reached."""
    power = found.problem.weight**2
    left = np.nan_to_num(heard.average_db + equaliser - found.target_db)
    return float(np.sqrt((power * left**2).sum() / power.sum()))


def _pink_change_db(equaliser: Floats, found: Asked) -> float:
    inside = found.mask.reasons != "outside"
    if not inside.any():
        return 0.0
    return 10 * math.log10(float(np.mean(10 ** (equaliser[inside] / 10))))


def optional(values: Floats) -> tuple[float | None, ...]:
    """None where there is no number."""
    return tuple(float(v) if math.isfinite(v) else None for v in values)


def _warnings(
    spots: Sequence[SpotResponse],
    abilities: ProcessorAbilities,
    limits: Limits,
    found: Asked,
    equaliser: Floats,
) -> tuple[str, ...]:
    said = []
    if len(spots) < FEWEST_SPOTS:
        many = "One spot says" if len(spots) == 1 else f"{len(spots)} spots say"
        said.append(f"{many} little of a room: measure {FEWEST_SPOTS} to 8 (common practice).")
    if limits.boost_db > HARD_BOOST_DB:
        said.append(f"Nothing is lifted by more than {HARD_BOOST_DB:g} dB, whatever is asked for.")
    if abilities.filters_per_output is None:
        said.append(
            f"How many filters the processor has is unknown: {limits.filters or USUAL_FILTERS} "
            "at most were used."
        )
    lift = float(equaliser.max(initial=0.0))
    if lift >= 0.5:
        said.append(
            f"The filters lift by up to {lift:.1f} dB: so much headroom is gone. Check gain and "
            "limiters again."
        )
    if any(spot.excess is None for spot in spots):
        said.append("Without phase nobody can tell which dips a filter could mend.")
    return tuple(said)
