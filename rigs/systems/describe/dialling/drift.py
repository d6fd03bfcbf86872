"""Ways through the air, and how far two sides run apart when it warms or cools."""

import math
from dataclasses import dataclass

from calc.acoustics.air import speed_of_sound
from calc.lookup import Lookup
from calc.signals.delays import DelayRow, Ways, delay_table
from calc.system import SystemDescription

__all__ = ["DelayRow", "Drift", "drift_of"]

STEP_C = 5
MOST_ROWS = 14


@dataclass(frozen=True, slots=True)
class Drift:
    """The ways of an alignment, and per temperature (deg C) how much later its moved side comes
    than when it was set: (temperature, ms, m that sound goes in it)."""

    ways: DelayRow
    rows: tuple[tuple[float, float, float], ...]


def drift_of(system: SystemDescription, name: str) -> Drift | None:
    """The drift of one alignment of a valid description; None where there is none of that name."""
    part = next((each for each in system.alignments if each.name == name), None)
    if part is None:
        return None
    lookup = Lookup.of(system)
    row = next(each for each in delay_table(system, lookup) if each.name == name)
    spot = next(each for each in system.spots if each.name == part.spot)
    ways = Ways(lookup, spot)
    rows = []
    for air in _temperatures(row.set_temperature_c, row.show_temperature_c):
        late = ways.drift_ms(part, row.set_temperature_c, air)
        rows.append((air, late, late / 1000 * speed_of_sound(air)))
    return Drift(row, tuple(rows))


def _temperatures(set_c: float, show_c: float) -> list[float]:
    """Both, and whole steps around them."""
    low = STEP_C * math.floor(min(set_c, show_c) / STEP_C) - STEP_C
    high = STEP_C * math.ceil(max(set_c, show_c) / STEP_C) + STEP_C
    step = STEP_C * math.ceil((high - low) / STEP_C / MOST_ROWS)
    steps = {float(value) for value in range(low, high + 1, step)}
    return sorted(steps | {set_c, show_c})
