"""Which figures of the mains were only assumed by whoever entered them."""

import dataclasses
from collections.abc import Iterator

from calc.figure import Figure
from calc.system import SystemDescription
from calc.words import number

PROGRAMME = ("eighth_power_w", "third_power_w", "power_factor", "mains_v")
ASSUMED_FIELDS = {
    "phase": PROGRAMME,
    "volt_drop": PROGRAMME,
    "inrush": ("inrush_a", "idle_w", "power_factor", "mains_v"),
}
FIELD_NAMES = {
    "eighth_power_w": "mains power at 1/8 power",
    "third_power_w": "mains power at 1/3 power",
    "idle_w": "mains power at idle",
    "power_factor": "power factor",
    "mains_v": "mains voltage",
    "inrush_a": "inrush current",
    "amps_per_phase": "current per phase",
    "voltage_v": "voltage",
    "breaker_a": "breaker's current",
    "length_m": "mains cable's length",
    "area_mm2": "mains cable's area",
}


def assumed_mains(system: SystemDescription, check: str) -> Iterator[str]:
    """A sentence for every figure of the mains that was only assumed by whoever entered it."""
    used = {place.sheet for place in system.amplifier_places}
    parts: list[tuple[object, str, tuple[str, ...]]] = [
        (sheet, sheet.name, ASSUMED_FIELDS[check])
        for sheet in system.amplifiers
        if sheet.name in used
    ]
    parts += [(supply, supply.name, ("amps_per_phase", "voltage_v")) for supply in system.supplies]
    parts += [(circuit, circuit.name, ("breaker_a",)) for circuit in system.circuits]
    if check == "volt_drop":
        parts += [(feed, feed.rack, ("length_m", "area_mm2")) for feed in system.rack_feeds]
    for part, name, fields in parts:
        for field in fields:
            figure: Figure = getattr(part, field)
            if figure.basis == "assumed" and figure.value is not None:
                yield f"{name}: its {FIELD_NAMES[field]} ({number(figure.value)}) is assumed."


def supply_assumed(system: SystemDescription) -> Iterator[str]:
    """The same for the total current, which knows no circuits."""
    return assumed_mains(dataclasses.replace(system, circuits=()), "phase")
