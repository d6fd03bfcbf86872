"""Mains current and switching order."""

from collections.abc import Iterable

from calc.constants import GENERATOR_SHARE
from calc.figure import Figure
from calc.lookup import Lookup
from calc.prediction import AmplifierDraw
from calc.system import AmplifierPlace, AmplifierSheet, Supply, SystemDescription
from calc.words import number

PAUSE_S = 5


def current_a(power: Figure, sheet: AmplifierSheet) -> float | None:
    """I = P / (V x power factor) in A; None where a figure is unknown."""
    volts, factor = sheet.mains_v.value, sheet.power_factor.value
    if power.value is None or volts is None or factor is None:
        return None
    return power.value / (volts * factor)


def draws(system: SystemDescription, lookup: Lookup) -> tuple[AmplifierDraw, ...]:
    """Mains current of every amplifier place, in the description's order."""
    return tuple(_draw(place, lookup.amplifiers[place.sheet]) for place in system.amplifier_places)


def usable_a(supply: Supply) -> float | None:
    """Current of one phase that may be used all the time: a generator only to 80 %."""
    amps = supply.amps_per_phase.value
    if amps is None:
        return None
    return amps * (GENERATOR_SHARE if supply.generator else 1.0)


def start_order(system: SystemDescription, amplifier_draws: Iterable[AmplifierDraw]) -> list[str]:
    """Switching order as steps in words: processors, then amplifiers one by one.

    The largest inrush comes first among the amplifiers, while nothing else loads the supply
    yet; an unknown inrush is taken as the largest. Switching off goes backwards, so that the
    amplifiers are dead before anything ahead of them thumps.
    """
    steps = [f"Processor {place.name}, its outputs muted" for place in system.processor_places]
    by_inrush = sorted(
        amplifier_draws, key=lambda d: -(float("inf") if d.inrush_a is None else d.inrush_a)
    )
    for draw in by_inrush:
        inrush = "unknown" if draw.inrush_a is None else f"{number(draw.inrush_a)} A"
        rack = f" ({draw.rack})" if draw.rack else ""
        steps.append(f"Amplifier {draw.place}{rack}: inrush {inrush}, then wait {PAUSE_S} s")
    if steps:
        steps.append("Switch off in the reverse order: amplifiers first, processors last")
    return steps


def _draw(place: AmplifierPlace, sheet: AmplifierSheet) -> AmplifierDraw:
    return AmplifierDraw(
        place.name,
        place.rack,
        current_a(sheet.idle_w, sheet),
        current_a(sheet.eighth_power_w, sheet),
        sheet.inrush_a.value,
    )
