"""From frozen inputs to filters: plain data in and out, `calc` in between."""

from collections.abc import Sequence
from typing import Any

from calc.serialise import from_plain, to_plain
from calc.signals.equalise.again import checked_again
from calc.signals.equalise.answers import Equalisation, Limits
from calc.signals.equalise.equalise import equalise
from calc.signals.equalise.spots import SpotResponse
from calc.signals.equalise.targets import OWN, TargetCurve
from calc.system import ProcessorAbilities
from rigs.catalogue.models import Processor
from rigs.systems.describe.sheets import processor
from rigs.systems.plans import FilterPlan

OWN_TARGETS = {curve.name: to_plain(curve) for curve in OWN}
"""The tool's own targets by name: name, frequency_hz, level_db."""

USUAL_BOOST_DB, MOST_BOOST_DB = 3.0, 6.0


def inputs(
    spots: Sequence[SpotResponse],
    target: TargetCurve,
    sheet: Processor,
    limits: Limits,
) -> dict[str, Any]:
    """All that a fit reads, as plain data."""
    return {
        "spots": [to_plain(spot) for spot in spots],
        "target": to_plain(target),
        "abilities": to_plain(processor(sheet).abilities),
        "limits": to_plain(limits),
    }


def fit(frozen: dict[str, Any]) -> dict[str, Any]:
    """The equalisation of frozen inputs, as plain data. The same inputs, the same answer.

    Raises
    ------
    ValueError
        In words: a spot that hears nothing to believe, or inputs that are damaged.
    """
    found = equalise(
        [from_plain(SpotResponse, spot) for spot in frozen["spots"]],
        from_plain(TargetCurve, frozen["target"]),
        from_plain(ProcessorAbilities, frozen["abilities"]),
        from_plain(Limits, frozen["limits"]),
    )
    plain: dict[str, Any] = to_plain(found)
    return plain


def check_again(
    frozen: dict[str, Any], result: dict[str, Any], spots: Sequence[SpotResponse]
) -> dict[str, Any]:
    """What a second measurement says of a fit, filter by filter, as plain data.

    Raises
    ------
    ValueError
        As `fit`.
    """
    abilities = from_plain(ProcessorAbilities, frozen["abilities"])
    planned = from_plain(Equalisation, result)
    plain: dict[str, Any] = to_plain(checked_again(planned, spots, abilities.sampling_hz.value))
    return plain


def filters_of(result: dict[str, Any]) -> tuple[FilterPlan, ...]:
    """The filters of a fit, ready for a revision of the processing."""
    found = from_plain(Equalisation, result)
    return tuple(
        FilterPlan(part.kind, part.frequency_hz, gain_db=part.gain_db, q=part.q)
        for part in found.filters
    )


def target_of(name: str, points: Sequence[tuple[float, float]]) -> TargetCurve:
    """A drawn target. Raises ValueError in words where its points are none."""
    return TargetCurve(name, tuple(hz for hz, _ in points), tuple(db for _, db in points))
