"""What was equalised here before, beside what was measured this time."""

from dataclasses import dataclass

from calc.serialise import from_plain
from calc.signals.equalise.answers import Equalisation as Fitted
from calc.signals.equalise.equalise import optional
from calc.signals.equalise.spots import together
from calc.signals.words import filter_words
from rigs.tuning.analyse.usable import Usable
from rigs.tuning.models import Equalisation
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.fits import then_and_now_picture


@dataclass(frozen=True, slots=True)
class Before:
    """A fit that was taken at an earlier event: its filters in words, its boxes."""

    row: Equalisation
    filters: list[str]
    boxes: list[str]
    for_room: bool


def shown_before(row: Equalisation, types: dict[tuple[int, int], set[str]]) -> Before:
    """Raises ValueError where the stored fit is of another form."""
    found = from_plain(Fitted, row.result)
    boxes = [types.get((row.processor_place_id, number), set()) for number in row.outputs]
    return Before(
        row,
        [filter_words(part) for part in found.filters],
        sorted(set().union(*boxes)),
        row.part == Equalisation.Part.VENUE,
    )


def then_and_now(row: Equalisation, usable: Usable) -> list[Pair]:
    """The averages laid over each other; nothing where this time nothing was measured."""
    if not usable.spots:
        return []
    found = from_plain(Fitted, row.result)
    try:
        heard = together(usable.spots)
    except ValueError:
        return []
    now = optional(heard.average_db)
    return [
        both(lambda width: then_and_now_picture(found.frequency_hz, found.average_db, now, width))
    ]
