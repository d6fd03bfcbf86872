"""Statements about the rig as a whole: undriven ways and the mains supply."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from calc.constants import GENERATOR_SHARE
from calc.electrical.mains import usable_a
from calc.electrical.mains.findings.assumed import supply_assumed
from calc.electrical.mains.programme import SHARE_SOURCE, share_words
from calc.lookup import Lookup
from calc.prediction import AmplifierDraw, Finding, State
from calc.system import Supply, SystemDescription
from calc.words import joined, number

SUPPLY_SOURCE = f"{SHARE_SOURCE}; generator 80 %: common practice, no source"


def way_findings(system: SystemDescription, lookup: Lookup) -> Iterator[Finding]:
    """Every way of every placement must be driven by exactly one drive line."""
    drivers: dict[tuple[str, str], list[str]] = defaultdict(list)
    for line in system.drive_lines:
        for link in line.links:
            drivers[link.placement, link.way].append(line.name)
    faults = 0
    for placement in system.placements:
        for way in lookup.loudspeakers[placement.sheet].ways:
            lines = drivers[placement.name, way.name]
            if len(lines) != 1:
                faults += 1
                yield _way_fault(placement.name, way.name, lines)
    if system.placements and not faults:
        yield _way("the rig", "holds", "every way of every box is driven by one line.", 1)


def _way_fault(placement: str, way: str, lines: Sequence[str]) -> Finding:
    name = f"{placement}, way {way}" if way else placement
    if not lines:
        sentence = f"{name} is driven by nobody. Put it on a drive line or take the box out."
    else:
        sentence = f"{name} is driven twice, by {joined(lines)}. Take it off one line."
    return _way(placement, "fails", sentence, len(lines))


def _way(subject: str, state: State, sentence: str, count: int) -> Finding:
    return Finding(
        subject=subject,
        check="undriven_way",
        title="Ways and drive lines",
        state=state,
        value=float(count),
        limit=1.0,
        unit="drive lines",
        limit_source="each way needs one drive line",
        sentence=sentence[0].upper() + sentence[1:],
        remedy="A drive line to each way, and one only.",
    )


def pole_findings(system: SystemDescription, lookup: Lookup) -> Iterator[Finding]:
    """Two drive lines on one pole pair of a box connect two amplifier outputs with each other."""
    users: dict[tuple[str, int], dict[str, list[str]]] = defaultdict(dict)
    for line in system.drive_lines:
        for link in line.links:
            pair = lookup.way(link.placement, link.way).pole_pair
            users[link.placement, pair].setdefault(line.name, []).append(link.way)
    for (placement, pair), lines in users.items():
        ways = list(dict.fromkeys(way for on_line in lines.values() for way in on_line))
        if len(lines) > 1 and len(ways) > 1:
            yield _joined_on_a_pair(placement, pair, ways, list(lines))


def _joined_on_a_pair(
    placement: str, pair: int, ways: Sequence[str], lines: Sequence[str]
) -> Finding:
    return Finding(
        subject=placement,
        check="shared_pole_pair",
        title="Ways on one pole pair",
        state="fails",
        value=float(len(lines)),
        limit=1.0,
        unit="drive lines",
        limit_source="circuit theory: two amplifier outputs must never be joined",
        sentence=f"{placement}: ways {joined(ways)} both hang on pole pair {pair}, but lines "
        f"{joined(lines)} drive them: their amplifier outputs would be joined. Put each way on a "
        "pole pair of its own on the loudspeaker's sheet, or drive them by one line.",
        remedy="A pole pair for each drive line, or one drive line for both ways.",
    )


def supply_findings(
    system: SystemDescription, draws: Sequence[AmplifierDraw]
) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """The sum of the currents with the event's programme against the supplies.

    A total only; the finding `phase` speaks of the single phases. It holds when everything would
    even fit on the smallest phase, is tight when it depends on the plugging, and fails beyond the
    total. Its limit is the smallest phase, or the total where that is what decides.

    Returns
    -------
    (findings, unchecked)
    """
    if not draws:
        return (), ()
    usable = [usable_a(supply) for supply in system.supplies]
    known = [draw.programme_a for draw in draws if draw.programme_a is not None]
    total = sum(known)
    open_draws = [draw.place for draw in draws if draw.programme_a is None]
    state, sentence = _supply_state(system.supplies, usable, total, open_draws)
    phases = [amps for amps in usable if amps is not None]
    smallest = min(phases) if phases and len(phases) == len(usable) else None
    finding = Finding(
        subject="the supply",
        check="supply",
        title="Mains current",
        state=state,
        value=total if not open_draws else None,
        limit=_capacity(system.supplies, usable) if state == "fails" else smallest,
        unit="A",
        limit_source=SUPPLY_SOURCE,
        sentence=sentence,
        working=tuple(_supply_working(system, draws, usable)),
        assumed=tuple(
            dict.fromkeys(
                [text for draw in draws for text in draw.assumed] + list(supply_assumed(system))
            )
        ),
        remedy="Another supply, or fewer amplifiers. A competent electrician and the local code "
        "have the last word.",
    )
    return (finding,), tuple(_supply_unchecked(system))


def _capacity(supplies: Sequence[Supply], usable: Sequence[float | None]) -> float | None:
    total = 0.0
    for supply, amps in zip(supplies, usable, strict=True):
        if amps is None:
            return None
        total += supply.phases * amps
    return total if supplies else None


def _supply_state(
    supplies: Sequence[Supply],
    usable: Sequence[float | None],
    total: float,
    open_draws: Sequence[str],
) -> tuple[State, str]:
    if not supplies:
        return "cannot check", "No supply is described for this space. Ask for its amps and phases."
    capacity = _capacity(supplies, usable)
    if capacity is None:
        return "cannot check", "A supply's current is unknown. Ask for it before plugging in."
    amps = f"{number(total)} A with this programme"
    if total > capacity:
        return (
            "fails",
            f"The amplifiers draw {amps}, all supplies together bear {number(capacity)} A. "
            "Bring another supply or fewer amplifiers.",
        )
    if open_draws:
        return (
            "cannot check",
            f"The mains current of {joined(open_draws)} is unknown. Enter it on the data sheet.",
        )
    one_phase = min(amps for amps in usable if amps is not None)
    if total <= one_phase:
        return "holds", f"The amplifiers draw {amps}, which even one phase bears."
    return (
        "tight",
        f"The amplifiers draw {amps} of {number(capacity)} A in all, more than one phase bears "
        f"({number(one_phase)} A). Spread them evenly and read the current of each phase.",
    )


def _supply_working(
    system: SystemDescription, draws: Sequence[AmplifierDraw], usable: Sequence[float | None]
) -> Iterator[str]:
    yield share_words(system.choices.crest_factor_db)
    for draw in draws:
        amps = "unknown" if draw.programme_a is None else f"{number(draw.programme_a)} A"
        yield f"{draw.place}: {amps} = P / (V x power factor) with the programme."
    for supply, amps_usable in zip(system.supplies, usable, strict=True):
        amps = "unknown" if amps_usable is None else f"{number(amps_usable)} A"
        share = f", {number(100 * GENERATOR_SHARE)} % of a generator" if supply.generator else ""
        yield f"{supply.name}: {supply.phases} x {amps}{share}."


def _supply_unchecked(system: SystemDescription) -> Iterator[str]:
    if sum(supply.phases for supply in system.supplies) > 1 and not system.rack_feeds:
        yield (
            "Balance between the phases: which amplifier is plugged into which phase is not "
            "described, so that only the total current is compared."
        )
    volts = {s.voltage_v.value for s in system.supplies if s.voltage_v.value is not None}
    used = {place.sheet for place in system.amplifier_places}
    for sheet in system.amplifiers:
        mains = sheet.mains_v.value
        if sheet.name in used and mains and any(abs(v / mains - 1) > 0.15 for v in volts):
            yield (
                f"{sheet.name}: its sheet is for {number(mains)} V, the supply has "
                f"{joined(number(v) for v in sorted(volts))} V. Make sure that it bears it."
            )
    if system.rack_feeds:
        yield "Everything ahead of the racks' mains cables, and its protection: for an electrician."
    else:
        yield "Neutral currents, voltage drop and the protection of the supply: for an electrician."
