"""What hangs and stands on what, as the page of weights shows it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from calc.prediction import Prediction, SupportResult
from calc.words import number
from rigs.events.models import Event
from rigs.systems.describe.mains import elsewhere
from rigs.systems.models import Support


@dataclass(frozen=True, slots=True)
class ShownSupport:
    """One support; `finding` is its finding with the override beside it."""

    row: Support
    result: SupportResult
    total: str
    limit: str
    limit_source: str
    loads: tuple[str, ...]
    finding: Any


def shown_supports(
    event: Event, prediction: Prediction, findings: Iterable[Any]
) -> list[ShownSupport]:
    """Every support of the rig, in the description's order."""
    rows = {support.name: support for support in event.supports.all()}
    found = {each.shown.finding.subject: each for each in findings}
    return [
        ShownSupport(
            row=rows[result.name],
            result=result,
            total=_total(result),
            limit="not marked" if result.limit_kg is None else f"{number(result.limit_kg)} kg",
            limit_source=_source(rows[result.name], event),
            loads=tuple(load.removeprefix(f"{result.name}: ") for load in result.loads),
            finding=found.get(result.name),
        )
        for result in prediction.supports
        if result.name in rows
    ]


def _total(result: SupportResult) -> str:
    if result.total_kg is not None:
        return f"{number(result.total_kg)} kg"
    return f"{number(result.known_kg)} kg and {len(result.unknown)} unknown"


def _source(row: Support, event: Event) -> str:
    if elsewhere(row, event):
        return f"{row.hang_point} is not in {event.space}: its limit is not counted"
    if row.hang_point:
        return f"hang point {row.hang_point} of {event.space}"
    if row.accessory:
        return str(row.accessory)
    return ""
