"""Mains current of each amplifier, and what a supply bears."""

from calc.constants import GENERATOR_SHARE
from calc.electrical.mains.programme import power_share, programme_power
from calc.figure import Figure
from calc.lookup import Lookup
from calc.prediction import AmplifierDraw
from calc.system import AmplifierPlace, AmplifierSheet, Supply, SystemDescription


def current_a(power: Figure, sheet: AmplifierSheet) -> float | None:
    """I = P / (V x power factor) in A; None where a figure is unknown."""
    volts, factor = sheet.mains_v.value, sheet.power_factor.value
    if power.value is None or volts is None or factor is None:
        return None
    return power.value / (volts * factor)


def draws(system: SystemDescription, lookup: Lookup) -> tuple[AmplifierDraw, ...]:
    """Mains current of every amplifier place, in the description's order."""
    share = power_share(system.choices.crest_factor_db)
    return tuple(
        _draw(place, lookup.amplifiers[place.sheet], share) for place in system.amplifier_places
    )


def usable_a(supply: Supply) -> float | None:
    """Current of one phase that may be used all the time: a generator only to 80 %."""
    amps = supply.amps_per_phase.value
    if amps is None:
        return None
    return amps * (GENERATOR_SHARE if supply.generator else 1.0)


def _draw(place: AmplifierPlace, sheet: AmplifierSheet, share: float) -> AmplifierDraw:
    programme, assumed = programme_power(sheet, share)
    return AmplifierDraw(
        place.name,
        place.rack,
        current_a(sheet.idle_w, sheet),
        current_a(sheet.eighth_power_w, sheet),
        sheet.inrush_a.value,
        current_a(sheet.third_power_w, sheet),
        current_a(programme, sheet),
        assumed,
    )
