"""Mains current of each amplifier, and what a supply bears."""

from calc.constants import GENERATOR_SHARE
from calc.electrical.mains.programme import power_share, programme_power
from calc.figure import Figure
from calc.lookup import Lookup
from calc.prediction import AmplifierDraw
from calc.system import AmplifierPlace, AmplifierSheet, Supply, SystemDescription


def current_a(power: Figure, sheet: AmplifierSheet, supply_v: float | None = None) -> float | None:
    """I = P / (V x power factor) in A; None where a figure is unknown.

    V is the sheet's mains voltage, or the supply's where that is lower: the same power then
    takes more current.
    """
    volts, factor = sheet.mains_v.value, sheet.power_factor.value
    if power.value is None or volts is None or factor is None:
        return None
    return power.value / (min(volts, supply_v or volts) * factor)


def draws(system: SystemDescription, lookup: Lookup) -> tuple[AmplifierDraw, ...]:
    """Mains current of every amplifier place, in the description's order."""
    share = power_share(system.choices.crest_factor_db)
    return tuple(
        _draw(place, lookup.amplifiers[place.sheet], share, _supply_v(system, place))
        for place in system.amplifier_places
    )


def usable_a(supply: Supply) -> float | None:
    """Current of one phase that may be used all the time: a generator only to 80 %."""
    amps = supply.amps_per_phase.value
    if amps is None:
        return None
    return amps * (GENERATOR_SHARE if supply.generator else 1.0)


def _supply_v(system: SystemDescription, place: AmplifierPlace) -> float | None:
    """Lowest voltage that the place's supply has, or that any has where nobody said which."""
    feeds = {feed.rack: feed.supply for feed in system.rack_feeds}
    mine = feeds.get(place.name) or feeds.get(place.rack)
    volts = [
        supply.voltage_v.value
        for supply in system.supplies
        if supply.voltage_v.value is not None and mine in (None, supply.name)
    ]
    return min(volts, default=None)


def _draw(
    place: AmplifierPlace, sheet: AmplifierSheet, share: float, supply_v: float | None
) -> AmplifierDraw:
    programme, assumed = programme_power(sheet, share)
    return AmplifierDraw(
        place.name,
        place.rack,
        current_a(sheet.idle_w, sheet, supply_v),
        current_a(sheet.eighth_power_w, sheet, supply_v),
        sheet.inrush_a.value,
        current_a(sheet.third_power_w, sheet, supply_v),
        current_a(programme, sheet, supply_v),
        assumed,
    )
