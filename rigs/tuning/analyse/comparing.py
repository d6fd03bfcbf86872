"""The spots of an event beside each other: what each hears, and where they disagree."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from calc.signals.equalise.mask import DISAGREE_DB, runs
from calc.signals.equalise.spots import Heard, grid_hz, together
from calc.signals.standing import ProposedSpot, SpotAdvice, advice, proposed
from rigs.events.models import Event
from rigs.systems.describe import freeze
from rigs.systems.models import ListeningSpot
from rigs.systems.pictures import plan_picture
from rigs.systems.pictures.frequency import said_hz
from rigs.tuning.analyse.found import spot_response
from rigs.tuning.models import Analysis
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.spots import spots_picture, spread_picture

MOST = 12
NARROW = 340.0
ONE = "One spot only: what belongs to the room and what to the place can't be told apart."
OTHER_LINES = (
    "Not the same lines played at all of these spots: they can't be compared. Record each spot "
    "with the same lines."
)
HALF_STEP = 2 ** (1 / 24)


@dataclass(frozen=True, slots=True)
class ShownSpot:
    """A spot: what was found there (None: nothing that can be compared) and what to expect."""

    number: int | None
    row: ListeningSpot
    analysis: Analysis | None
    off_db: float | None
    advice: SpotAdvice | None


@dataclass(frozen=True, slots=True)
class ShownSpots:
    """All spots of an event."""

    spots: list[ShownSpot]
    proposed: list[ProposedSpot]
    plan: list[Pair]
    pictures: list[Pair] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    disagree: list[str] = field(default_factory=list)


def shown_spots(event: Event, analyses: Sequence[Analysis]) -> ShownSpots:
    """The spots of an event (read as a whole rig) with the newest analysis of each."""
    system = freeze(event)
    rows = sorted(event.listeningspots.all(), key=lambda row: str(row.name))
    plan = [(plan_picture(system), plan_picture(system, width=NARROW))]
    if not (system.placements or system.areas or system.spots):
        plan = []
    newest = comparable(analyses)
    compared = [row for row in rows if row.pk in newest][:MOST]
    told = {each.spot: each for each in advice(system)}
    shown = ShownSpots([], list(proposed(system)), plan)
    off = _compare(shown, [(row, newest[row.pk]) for row in compared])
    for row in rows:
        number = compared.index(row) + 1 if row in compared else None
        shown.spots.append(
            ShownSpot(number, row, newest.get(row.pk), off.get(row.pk), told.get(row.name))
        )
    if len(newest) > MOST:
        shown.remarks.append(f"Only the first {MOST} spots by name are compared.")
    return shown


def comparable(analyses: Sequence[Analysis]) -> dict[int, Analysis]:
    """The newest result of each spot that tells what is heard there."""
    found: dict[int, Analysis] = {}
    for each in sorted(analyses, key=lambda row: (row.recording.made_at, row.pk)):
        if each.result and each.result.get("spot") and each.recording.spot_id is not None:
            found[each.recording.spot_id] = each
    return found


def _compare(
    shown: ShownSpots, pairs: Sequence[tuple[ListeningSpot, Analysis]]
) -> dict[int, float]:
    """Draw what can be compared; how far each spot lies off the average, dB rms."""
    spots = [
        found
        for row, analysis in pairs
        if (found := spot_response(analysis.result or {}, row.name, row.weight))
    ]
    if not spots:
        return {}
    lines = {frozenset(line.pk for line in each.recording.lines.all()) for _, each in pairs}
    if len(lines) > 1:
        shown.remarks.append(OTHER_LINES)
        return {}
    try:
        heard = together(spots)
    except ValueError as why:
        shown.remarks.append(f"The spots can't be compared: {why}.")
        return {}
    if len(spots) == 1:
        shown.remarks.append(ONE)
    names, hz = [spot.name for spot in spots], grid_hz().tolist()
    shown.pictures.append(both(lambda width: spots_picture(names, heard, hz, width)))
    if len(spots) > 1:
        shown.pictures.append(both(lambda width: spread_picture(heard, hz, width)))
        shown.disagree.extend(_disagreements(heard))
    return {row.pk: _off_db(heard, number) for number, (row, _) in enumerate(pairs)}


def _disagreements(heard: Heard) -> list[str]:
    hz = grid_hz()
    return [
        f"{said_hz(hz[start] / HALF_STEP)} to {said_hz(hz[end - 1] * HALF_STEP)}"
        for start, end in runs((heard.spread_db >= DISAGREE_DB) & heard.enough)
    ]


def _off_db(heard: Heard, number: int) -> float:
    both_known = heard.known[number] & heard.enough
    off = (heard.level_db[number] - heard.average_db)[both_known]
    return float(np.sqrt(np.mean(off**2))) if len(off) else 0.0
