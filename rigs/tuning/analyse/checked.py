"""Measured again after a fit was taken: what was promised, what came."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from calc.serialise import from_plain
from calc.signals.equalise.again import CheckedAgain, FilterCheck
from calc.signals.equalise.answers import Equalisation as Fitted
from calc.signals.words import filter_words
from rigs.tuning.analyse.fitting import check_again
from rigs.tuning.analyse.usable import Usable
from rigs.tuning.models import Equalisation
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.fits import again_picture


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A filter: what its surroundings were predicted to change by, and did."""

    filter: str
    predicted: str
    found: str
    says: str
    state: str


@dataclass(frozen=True, slots=True)
class ShownCheck:
    """A second measurement beside the prediction; None where nothing is known."""

    off_db: float | None
    residual_db: float | None
    promised_db: float | None
    pictures: list[Pair] = field(default_factory=list)
    rows: list[CheckRow] = field(default_factory=list)
    cannot: tuple[str, ...] = ()
    missing: list[str] = field(default_factory=list)


def shown_check(row: Equalisation, usable: Usable) -> ShownCheck | None:
    """Compare; None where no spot was measured since.

    Raises
    ------
    ValueError
        In words: a spot hears nothing to believe, or the fit is of another form.
    """
    if not usable.spots:
        return None
    planned = from_plain(Fitted, row.result)
    wanted = {spot.name for spot in planned.spots}
    spots = [spot for spot in usable.spots if spot.name in wanted]
    missing = sorted(wanted - {spot.name for spot in spots})
    if not spots:
        return ShownCheck(None, None, planned.residual_after_db, missing=missing)
    found = from_plain(CheckedAgain, check_again(row.inputs, row.result or {}, spots))
    return ShownCheck(
        off_db=found.off_prediction_db,
        residual_db=found.residual_db,
        promised_db=planned.residual_after_db,
        pictures=[both(lambda width: again_picture(planned, found.measured_db, width))],
        rows=_rows(found.filters),
        cannot=found.cannot,
        missing=missing,
    )


def _rows(checks: Sequence[FilterCheck]) -> list[CheckRow]:
    return [
        CheckRow(
            filter=filter_words(part.filter),
            predicted=f"{part.predicted_db:+.1f} dB",
            found="unknown" if part.found_db is None else f"{part.found_db:+.1f} dB",
            says=part.says,
            state=_state(part),
        )
        for part in checks
    ]


def _state(part: FilterCheck) -> str:
    if part.found_db is None:
        return "cannot check"
    return "holds" if part.says.startswith("does what") else "fails"
