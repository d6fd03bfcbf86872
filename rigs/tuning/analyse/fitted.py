"""A fit as its page shows it: numbers that decide, pictures, filters, what was left alone."""

import math
from dataclasses import dataclass
from typing import Any

from calc.serialise import from_plain
from calc.signals.equalise.answers import Equalisation, SpotCurve
from calc.signals.equalise.mask import LeftAlone
from calc.signals.words import hz_words
from calc.system import Filter
from rigs.systems.pictures.frequency import said_hz
from rigs.tuning.analyse.fitting import is_graphic
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.fits import average_picture, spot_picture, work_picture


@dataclass(frozen=True, slots=True)
class FilterRow:
    """A filter in words."""

    hz: str
    gain: str
    q: str
    octaves: str


@dataclass(frozen=True, slots=True)
class ShownFit:
    """All that is told of a fit. Residuals are None where nothing could be believed."""

    graphic: bool
    before_db: float | None
    after_db: float | None
    headroom_db: float
    gain_db: float
    target: str
    spots: list[str]
    pictures: list[Pair]
    of_spots: list[Pair]
    filters: list[FilterRow]
    left_alone: list[str]
    warnings: tuple[str, ...]
    cannot: tuple[str, ...]
    basis: str


def shown_fit(inputs: dict[str, Any], result: dict[str, Any]) -> ShownFit:
    """Read a stored fit. Raises ValueError where it is of another form."""
    found = from_plain(Equalisation, result)
    by_bands = is_graphic(inputs)
    return ShownFit(
        graphic=by_bands,
        before_db=found.residual_before_db,
        after_db=found.residual_after_db,
        headroom_db=found.headroom_db,
        gain_db=found.gain_db,
        target=str(inputs["target"]["name"]),
        spots=[spot.name for spot in found.spots],
        pictures=[
            both(lambda width: average_picture(found, width)),
            both(lambda width: work_picture(found, width)),
        ],
        of_spots=[_of_spot(found, spot) for spot in found.spots],
        filters=[_row(part, by_bands) for part in found.filters],
        left_alone=[_words(part) for part in found.left_alone],
        warnings=found.warnings,
        cannot=found.cannot,
        basis=found.basis,
    )


def _of_spot(found: Equalisation, spot: SpotCurve) -> Pair:
    return both(lambda width: spot_picture(found, spot, width))


def octaves_of(q: float) -> float:
    """Width between the half-gain edges, octaves: 2 asinh(1 / 2Q) / ln 2 (analogue, MATH)."""
    return 2 * math.asinh(1 / (2 * q)) / math.log(2)


def _row(part: Filter, band: bool) -> FilterRow:
    q = part.q or math.sqrt(0.5)
    hz = said_hz(part.frequency_hz) if band else hz_words(part.frequency_hz)
    return FilterRow(hz, f"{part.gain_db:+.1f} dB", f"{q:.2f}", f"{octaves_of(q):.2f}")


def _words(part: LeftAlone) -> str:
    return f"{said_hz(part.low_hz)} to {said_hz(part.high_hz)}: {part.why}."
