"""The phase table and the mains cables as the mains page shows them."""

import json
from dataclasses import dataclass

from calc.prediction import AmplifierDraw, FeedResult, PhaseResult, Prediction, SupplyResult
from calc.words import joined, number
from rigs.events.models import Event
from rigs.systems.models import RackFeed
from venues.models import Supply


@dataclass(frozen=True, slots=True)
class ShownPhase:
    """One row of a phase table, in words; `percent` is the current at 1/8 power over usable."""

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
    """One mains cable; `row` is where it is described."""

    result: FeedResult
    row: RackFeed | None
    where: str
    cable: str
    eighth: str
    drop: str


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
    plan = sorted((each.rack, each.phase) for each in result.best_plan)
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
    planned = [each.rack for each in supply.best_plan if each.phase == phase.phase]
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
    """Every mains cable that is described."""
    rows = {feed.load: feed for feed in event.rackfeeds.all()}
    return [
        ShownFeed(
            result=result,
            row=rows.get(result.rack),
            where=_where(result),
            cable=_cable(rows.get(result.rack)),
            eighth=amps(result.eighth_power_a),
            drop=_drop(result),
        )
        for result in prediction.feeds
    ]


def _where(result: FeedResult) -> str:
    phase = "phase unknown" if result.phase is None else f"L{result.phase}"
    circuit = f", {result.circuit}" if result.circuit else ""
    planned = "" if result.given else ", planned"
    return f"{result.supply}{circuit}, {phase}{planned}"


def _cable(row: RackFeed | None) -> str:
    if row is None:
        return ""
    if row.cable:
        return str(row.cable)
    length, area = row.length_m, row.area_mm2
    return ", ".join(
        (
            "length unknown" if length is None else f"{number(length)} m",
            "area unknown" if area is None else f"{number(area)} mm²",
        )
    )


def _drop(result: FeedResult) -> str:
    if result.drop_v is None:
        return "unknown"
    share = "" if result.drop_share is None else f", {number(100 * result.drop_share, 2)} %"
    return f"{number(result.drop_v)} V{share}"


def unfed(event: Event, prediction: Prediction) -> list[tuple[str, str]]:
    """Racks and amplifiers by themselves that have no mains cable: name, and the form's value."""
    fed = {feed.rack for feed in prediction.feeds}
    loads = {
        place.rack or place.name: f"rack:{place.rack}" if place.rack else f"amplifier:{place.pk}"
        for place in event.amplifierplaces.all()
    }
    return [(name, value) for name, value in sorted(loads.items()) if name not in fed]


def draw_words(draw: AmplifierDraw) -> dict[str, str]:
    """One amplifier's currents."""
    return {
        "place": draw.place,
        "rack": draw.rack,
        "idle": amps(draw.idle_a),
        "eighth": amps(draw.eighth_power_a),
        "third": amps(draw.third_power_a),
        "inrush": amps(draw.inrush_a),
    }
