"""What hangs or stands on each support, against the limit that is marked on it."""

from collections.abc import Iterator

from calc.figure import Figure
from calc.lookup import Lookup
from calc.prediction import Finding, State, SupportResult
from calc.system import Support, SystemDescription
from calc.words import joined, number

NO_APPROVAL = "A sum of masses approves no rigging: licensed riggers under the local code decide."
WEIGHT_SOURCE = "the limit marked on the support"

Load = tuple[str, Figure]


def support_results(system: SystemDescription, lookup: Lookup) -> tuple[SupportResult, ...]:
    """Sum of the masses on every support, in the description's order."""
    return tuple(_result(support, _loads(support, system, lookup)) for support in system.supports)


def weight_findings(system: SystemDescription, lookup: Lookup) -> tuple[Finding, ...]:
    """One statement for every support that bears something."""
    found = []
    for support in system.supports:
        loads = _loads(support, system, lookup)
        if loads:
            found.append(_finding(support, _result(support, loads), loads))
    return tuple(found)


def weights_unchecked(system: SystemDescription) -> Iterator[str]:
    """Boxes that nobody put on a support, once there are supports at all."""
    bare = [box.name for box in system.placements if not box.support]
    if system.supports and bare:
        yield f"{joined(bare)}: on which support is not described, so that none counts it."


def _loads(support: Support, system: SystemDescription, lookup: Lookup) -> list[Load]:
    boxes = [
        (box.name, lookup.sheet_of(box.name).mass_kg)
        for box in system.placements
        if box.support == support.name
    ]
    extra = [(load.name, load.mass_kg) for load in system.extra_loads]
    hung = {load.name for load in system.extra_loads if load.support == support.name}
    return boxes + [load for load in extra if load[0] in hung]


def _result(support: Support, loads: list[Load]) -> SupportResult:
    unknown = tuple(name for name, mass in loads if mass.value is None)
    known_kg = sum((mass.value for _, mass in loads if mass.value is not None), 0.0)
    return SupportResult(
        name=support.name,
        kind=support.kind,
        total_kg=None if unknown else known_kg,
        known_kg=known_kg,
        limit_kg=support.limit_kg.value,
        loads=tuple(name for name, _ in loads),
        unknown=unknown,
    )


def _finding(support: Support, result: SupportResult, loads: list[Load]) -> Finding:
    state, sentence = _judged(result)
    masses = [
        f"{name}: {'unknown' if mass.value is None else number(mass.value) + ' kg'} ({mass.basis})."
        for name, mass in loads
    ]
    return Finding(
        subject=support.name,
        check="weight",
        title=f"Weight on a {support.kind}",
        state=state,
        value=result.total_kg,
        limit=result.limit_kg,
        unit="kg",
        limit_source=f"{WEIGHT_SOURCE} ({support.limit_kg.basis})",
        sentence=f"{support.name}: {sentence} {NO_APPROVAL}",
        working=(*masses, f"Sum of what is known: {number(result.known_kg)} kg."),
        assumed=tuple(_assumed(support, loads)),
        remedy="Take something off, or use a support that is marked for more.",
    )


def _judged(result: SupportResult) -> tuple[State, str]:
    limit = result.limit_kg
    if limit is not None and result.known_kg > limit:
        more = "at least " if result.unknown else ""
        return (
            "fails",
            f"{more}{number(result.known_kg)} kg, {number(limit)} kg is marked. Take weight off.",
        )
    if result.unknown:
        return "cannot check", f"the mass of {joined(result.unknown)} is unknown. Enter it."
    if limit is None:
        return "cannot check", "its limit is unknown. Read it off the support."
    return "holds", f"{number(result.known_kg)} kg of {number(limit)} kg."


def _assumed(support: Support, loads: list[Load]) -> Iterator[str]:
    for name, mass in loads:
        if mass.basis == "assumed" and mass.value is not None:
            yield f"{name}: its mass of {number(mass.value)} kg is assumed."
    if support.limit_kg.basis == "assumed" and support.limit_kg.value is not None:
        yield f"{support.name}: its limit of {number(support.limit_kg.value)} kg is assumed."
