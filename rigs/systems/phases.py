"""The phase table and the mains cables as the mains page shows them."""

import json
from dataclasses import dataclass

from calc.prediction import FeedResult, PhaseResult, Prediction, SupplyResult
from calc.words import joined, number
from rigs.events.models import Event
from rigs.systems.models import RackFeed
from venues.models import Supply


@dataclass(frozen=True, slots=True)
class ShownPhase:
    """One row of a phase table, in words. `full` is 0 to 100 for a bar, None unknown."""

    name: str
    racks: str
    idle: str
    eighth: str
    third: str
    usable: str
    percent: str
    planned: str


@dataclass(frozen=True, slots=True)
class ShownSupply:
    """A supply with its phase table and the best plan beside what is plugged."""

    row: Supply
    result: SupplyResult
    phases: tuple[ShownPhase, ...]
    neutral: str
    neutral_rectifier: str
    highest: str
    best: str
    plan_text: str
    plan_differs: bool


@dataclass(frozen=True, slots=True)
class ShownFeed:
    """One mains cable; `row` is None where nobody has described it yet."""

    result: FeedResult
    row: RackFeed | None
    where: str
    eighth: str
    drop: str
    load_value: str


def amps(value: float | None) -> str:
    """A current, or that it is unknown."""
    return "unknown" if value is None else f"{number(value)} A"


def shown_supplies(event: Event, prediction: Prediction) -> list[ShownSupply]:
    """Every supply of the event's space that `calc` answered for."""
    rows = {supply.name: supply for supply in event.space.supplies.all()}
    plugged = {feed.rack: feed.phase for feed in prediction.feeds if feed.given}
    return [
        _supply(rows[result.name], result, plugged)
        for result in prediction.supplies
        if result.name in rows
    ]


def _supply(row: Supply, result: SupplyResult, plugged: dict[str, int | None]) -> ShownSupply:
    plan = sorted(result.best_plan)
    return ShownSupply(
        row=row,
        result=result,
        phases=tuple(_phase(phase, result) for phase in result.phases),
        neutral=amps(result.neutral_a),
        neutral_rectifier=amps(result.neutral_rectifier_a),
        highest=amps(result.highest_a),
        best=amps(result.best_highest_a),
        plan_text=json.dumps(plan),
        plan_differs=any(plugged.get(rack) != phase for rack, phase in plan),
    )


def _phase(phase: PhaseResult, supply: SupplyResult) -> ShownPhase:
    planned = [rack for rack, number_ in supply.best_plan if number_ == phase.phase]
    share = (
        None
        if phase.eighth_power_a is None or not phase.usable_a
        else 100 * phase.eighth_power_a / phase.usable_a
    )
    return ShownPhase(
        name=f"L{phase.phase}",
        racks=joined(phase.racks) or "nothing",
        idle=amps(phase.idle_a),
        eighth=amps(phase.eighth_power_a),
        third=amps(phase.third_power_a),
        usable=amps(phase.usable_a),
        percent="unknown" if share is None else f"{number(share)} %",
        planned=joined(planned) or "nothing",
    )


def shown_feeds(event: Event, prediction: Prediction) -> list[ShownFeed]:
    """Every rack and amplifier by itself, described or planned."""
    rows = {feed.load: feed for feed in event.rackfeeds.all()}
    alone = {place.name: place.pk for place in event.amplifierplaces.all() if not place.rack}
    return [
        ShownFeed(
            result=result,
            row=rows.get(result.rack),
            where=_where(result),
            eighth=amps(result.eighth_power_a),
            drop=_drop(result),
            load_value=f"amplifier:{alone[result.rack]}"
            if result.rack in alone
            else f"rack:{result.rack}",
        )
        for result in prediction.feeds
    ]


def _where(result: FeedResult) -> str:
    phase = "phase unknown" if result.phase is None else f"L{result.phase}"
    circuit = f", {result.circuit}" if result.circuit else ""
    planned = "" if result.given else ", planned"
    return f"{result.supply}{circuit}, {phase}{planned}"


def _drop(result: FeedResult) -> str:
    if result.drop_v is None:
        return "unknown"
    share = "" if result.drop_share is None else f", {number(100 * result.drop_share, 2)} %"
    return f"{number(result.drop_v)} V{share}"
