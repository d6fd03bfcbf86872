"""Measured again after the filters were set: did each do what was predicted?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calc.signals.equalise.answers import Equalisation
from calc.signals.equalise.peaks import Floats
from calc.signals.equalise.spots import SpotResponse, together
from calc.signals.response import filters_response
from calc.system import Filter

TOLERATED_DB = 1.5
"""dB. So far may a filter's work lie off where the microphone stands almost where it stood. Own."""


@dataclass(frozen=True, slots=True)
class FilterCheck:
    """What a filter's surroundings were predicted to change by, and did, dB; None if unknown."""

    filter: Filter
    predicted_db: float
    found_db: float | None
    says: str


@dataclass(frozen=True, slots=True)
class CheckedAgain:
    """The second measurement beside the prediction, on the grid.

    `residual_db` is the root mean square of measured less target, `off_prediction_db` that of
    measured less predicted, both over the places that were known both times.
    """

    measured_db: tuple[float | None, ...]
    off_prediction_db: float | None
    residual_db: float | None
    filters: tuple[FilterCheck, ...]
    cannot: tuple[str, ...] = ()


def checked_again(
    planned: Equalisation, spots: Sequence[SpotResponse], sampling_hz: float | None = None
) -> CheckedAgain:
    """Compare a second measurement of the same spots with the prediction.

    Only shapes are compared: both are laid on each other over all known places, as the gain may
    have changed.

    Raises
    ------
    ValueError
        As `together`.
    """
    again = together(spots)
    before, target = _numbers(planned.average_db), np.array(planned.target_db)
    equaliser, hz = np.array(planned.equaliser_db), np.array(planned.frequency_hz)
    known = np.isfinite(before) & again.enough & ~_left_out(planned, hz)
    if not known.any():
        why = "Nothing could be believed both times: measure again, louder."
        return CheckedAgain(planned.average_db, None, None, (), (why,))
    off = again.average_db - (before + equaliser)
    measured = again.average_db - float(np.mean(off[known]))
    names = {spot.name for spot in spots} ^ {spot.name for spot in planned.spots}
    cannot: tuple[str, ...] = ()
    if names:
        cannot = (f"Not the same spots both times: {', '.join(sorted(names))}.",)
    change = measured - before
    return CheckedAgain(
        measured_db=tuple(float(v) if math.isfinite(v) else None for v in measured),
        off_prediction_db=_rms((measured - before - equaliser)[known]),
        residual_db=_rms((measured - target)[known]),
        filters=tuple(
            _of_filter(part, hz, change, equaliser, known, sampling_hz) for part in planned.filters
        ),
        cannot=cannot,
    )


def _of_filter(
    part: Filter,
    hz: Floats,
    change: Floats,
    equaliser: Floats,
    known: np.ndarray,
    sampling_hz: float | None,
) -> FilterCheck:
    """Averages where the filter does more than half of its gain, weighted by what it does."""
    own = 20 * np.log10(np.abs(filters_response([part], hz, sampling_hz)))
    at = 20 * np.log10(abs(filters_response([part], np.array([part.frequency_hz]), sampling_hz)[0]))
    weight = np.where(np.abs(own) > abs(at) / 2, np.abs(own), 0.0)
    weight[np.argmin(np.abs(np.log(hz / part.frequency_hz)))] += 1e-6
    predicted = float(np.average(equaliser, weights=weight))
    weight = weight * known
    if not weight.sum():
        return FilterCheck(part, predicted, None, "cannot check: nothing there can be believed")
    expected = float(np.average(equaliser, weights=weight))
    found = float(np.average(np.nan_to_num(change), weights=weight))
    if abs(found - expected) <= TOLERATED_DB:
        return FilterCheck(part, predicted, found, "does what was predicted")
    if abs(expected) > TOLERATED_DB and abs(found) < abs(expected) / 4:
        return FilterCheck(part, predicted, found, "does nothing: is it set, and on this output?")
    return FilterCheck(
        part,
        predicted,
        found,
        f"is {found - expected:+.1f} dB off: check its settings, or the spot",
    )


def _left_out(planned: Equalisation, hz: Floats) -> np.ndarray:
    out = np.zeros(len(hz), dtype=np.bool_)
    for part in planned.left_alone:
        if part.reason in ("coherence", "outside", "range"):
            out |= (hz >= part.low_hz) & (hz <= part.high_hz)
    return out


def _numbers(values: Sequence[float | None]) -> Floats:
    return np.array([math.nan if value is None else value for value in values])


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2)))
