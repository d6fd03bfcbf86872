"""From frozen inputs to filters: plain data in and out, `calc` in between."""

from collections.abc import Sequence
from typing import Any

from calc.serialise import from_plain, to_plain
from calc.signals.equalise.again import checked_again
from calc.signals.equalise.answers import Equalisation, Limits
from calc.signals.equalise.equalise import equalise
from calc.signals.equalise.graphic import graphic
from calc.signals.equalise.spots import SpotResponse
from calc.signals.equalise.targets import OWN, TargetCurve
from calc.system import Dial, ProcessorAbilities
from rigs.catalogue.models import Processor
from rigs.systems.describe.sheets import graphic_dial, processor
from rigs.systems.plans import FilterPlan

OWN_TARGETS = {curve.name: to_plain(curve) for curve in OWN}
"""The tool's own targets by name: name, frequency_hz, level_db."""

USUAL_BOOST_DB, MOST_BOOST_DB = 3.0, 6.0


def inputs(
    spots: Sequence[SpotResponse],
    target: TargetCurve,
    sheet: Processor,
    limits: Limits,
    *,
    graphic_equaliser: bool = False,
) -> dict[str, Any]:
    """All that a fit reads, as plain data; with the processor's graphic equaliser in place of
    its filters where asked.

    Raises
    ------
    ValueError
        It has no graphic equaliser.
    """
    sliders = graphic_dial(sheet) if graphic_equaliser else None
    if graphic_equaliser and sliders is None:
        raise ValueError(f"{sheet} has no graphic equaliser that anybody described.")
    return {
        "spots": [to_plain(spot) for spot in spots],
        "target": to_plain(target),
        "abilities": to_plain(processor(sheet).abilities),
        "limits": to_plain(limits),
        "graphic": None if sliders is None else to_plain(sliders),
    }


def fit(frozen: dict[str, Any]) -> dict[str, Any]:
    """The equalisation of frozen inputs, as plain data. The same inputs, the same answer.

    Raises
    ------
    ValueError
        In words: a spot that hears nothing to believe, or inputs that are damaged.
    """
    spots = [from_plain(SpotResponse, spot) for spot in frozen["spots"]]
    target = from_plain(TargetCurve, frozen["target"])
    abilities = from_plain(ProcessorAbilities, frozen["abilities"])
    limits = from_plain(Limits, frozen["limits"])
    if is_graphic(frozen):
        dial = from_plain(Dial, frozen["graphic"])
        found = graphic(spots, target, limits, dial, sampling_hz=abilities.sampling_hz)
    else:
        found = equalise(spots, target, abilities, limits)
    plain: dict[str, Any] = to_plain(found)
    return plain


def is_graphic(frozen: dict[str, Any]) -> bool:
    """Whether the sliders of a graphic equaliser are fitted, not filters."""
    return frozen.get("graphic") is not None


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


def gain_change_db(result: dict[str, Any] | None) -> float:
    """By how much the gain makes up for what the filters do to the level, to 0.1 dB."""
    return 0.0 if result is None else round(from_plain(Equalisation, result).gain_db, 1)


def limits_of(boost_db: float, filters: int | None, low_hz: float, high_hz: float) -> Limits:
    """The bounds of a fit; the rest as usual."""
    return Limits(boost_db=boost_db, filters=filters, low_hz=low_hz, high_hz=high_hz)


def own_target(name: str) -> TargetCurve:
    """One of the tool's own targets. Raises StopIteration where there is none of that name."""
    return next(curve for curve in OWN if curve.name == name)


def target_of(name: str, points: Sequence[tuple[float, float]]) -> TargetCurve:
    """A drawn target. Raises ValueError in words where its points are none."""
    return TargetCurve(name, tuple(hz for hz, _ in points), tuple(db for _, db in points))
