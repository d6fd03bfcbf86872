"""Mains supplies, circuits and feeds that cannot be."""

from collections.abc import Iterator

from calc.system import Circuit, RackFeed, Supply, SystemDescription
from calc.validate.ranges import CABLE_RANGES, numbers

AMPS = (0.1, 10_000.0)


def supply(part: Supply) -> Iterator[str]:
    """One to three phases, figures that can be."""
    label = f"Supply '{part.name}'"
    if part.phases not in (1, 2, 3):
        yield f"{label}: must have 1, 2 or 3 phases."
    yield from numbers(part, {"amps_per_phase": AMPS, "voltage_v": (1.0, 1000.0)}, label)


def circuit(part: Circuit) -> Iterator[str]:
    """A breaker's current that can be."""
    yield from numbers(part, {"breaker_a": AMPS}, f"Circuit '{part.name}'")


def feed(part: RackFeed) -> Iterator[str]:
    """A cable that can be."""
    yield from numbers(part, CABLE_RANGES, f"Rack feed '{part.rack}'")


def mains_references(system: SystemDescription) -> Iterator[str]:
    """Circuits and feeds that hang on supplies, phases, circuits or racks that are not there."""
    supplies = {part.name: part for part in system.supplies}
    circuits = {part.name: part for part in system.circuits}
    loads = {place.rack or place.name for place in system.amplifier_places}
    loads |= {place.name for place in system.amplifier_places}
    for part in system.circuits:
        yield from _plugged(f"Circuit '{part.name}'", part.supply, part.phase, supplies)
    for one in system.rack_feeds:
        label = f"Rack feed '{one.rack}'"
        if one.rack not in loads:
            yield f"{label}: there is no rack and no amplifier place of that name."
        yield from _plugged(label, one.supply, one.phase, supplies)
        if one.circuit:
            yield from _on_circuit(one, label, circuits)


def _plugged(
    label: str, name: str, phase: int | None, supplies: dict[str, Supply]
) -> Iterator[str]:
    if name not in supplies:
        yield f"{label}: there is no supply '{name}'."
    elif phase is not None and not 1 <= phase <= supplies[name].phases:
        yield f"{label}: supply '{name}' has {supplies[name].phases} phases, not number {phase}."


def _on_circuit(one: RackFeed, label: str, circuits: dict[str, Circuit]) -> Iterator[str]:
    found = circuits.get(one.circuit)
    if found is None:
        yield f"{label}: there is no circuit '{one.circuit}'."
    elif found.supply != one.supply:
        yield f"{label}: circuit '{one.circuit}' belongs to supply '{found.supply}'."
    elif None not in (one.phase, found.phase) and one.phase != found.phase:
        yield f"{label}: circuit '{one.circuit}' is on phase {found.phase}, not {one.phase}."
