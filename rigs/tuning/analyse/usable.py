"""Which spots a fit can use, and why it can't use the others."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from calc.signals.equalise.spots import SpotResponse
from rigs.systems.models import DriveLine, ListeningSpot
from rigs.tuning.analyse.comparing import MOST, comparable
from rigs.tuning.analyse.found import spot_response
from rigs.tuning.models import Analysis

OTHER_LINES = "other lines played there than at most spots"
NOTHING = "nothing was measured there that tells what is heard"
TOO_MANY = f"only {MOST} spots can be used, the first by name"


@dataclass(frozen=True, slots=True)
class Usable:
    """Spots ready to be equalised, the lines that played, and who is left out and why."""

    spots: list[SpotResponse] = field(default_factory=list)
    analyses: list[Analysis] = field(default_factory=list)
    lines: list[DriveLine] = field(default_factory=list)
    left_out: list[tuple[str, str]] = field(default_factory=list)

    @property
    def recorded_at(self) -> datetime | None:
        """When the first of them was recorded: what was set later is not in all of them."""
        return min((each.recording.made_at for each in self.analyses), default=None)


def usable_spots(rows: Sequence[ListeningSpot], analyses: Sequence[Analysis]) -> Usable:
    """The newest result of each spot; where lines differ, those of the set that most spots have."""
    newest = comparable(analyses)
    played = {pk: frozenset(each.recording.lines.all()) for pk, each in newest.items()}
    count = Counter(played.values())
    lines = max(count, key=lambda each: (count[each], len(each))) if count else frozenset()
    found = Usable(lines=sorted(lines, key=str))
    for row in sorted(rows, key=lambda row: str(row.name)):
        response = None
        if row.pk in newest:
            response = spot_response(newest[row.pk].result or {}, row.name, row.weight)
        why = ""
        if response is None:
            why = NOTHING
        elif played[row.pk] != lines:
            why = OTHER_LINES
        elif len(found.spots) == MOST:
            why = TOO_MANY
        if why or response is None:
            found.left_out.append((row.name, why))
        else:
            found.spots.append(response)
            found.analyses.append(newest[row.pk])
    return found
