"""Statements about phases, sockets, mains cables and switching on."""

from collections.abc import Iterator
from dataclasses import replace

from calc.electrical.mains.findings.assumed import ASSUMED_FIELDS, assumed_mains
from calc.electrical.mains.findings.circuit import circuit_findings
from calc.electrical.mains.findings.inrush import inrush_finding
from calc.electrical.mains.findings.phase import phase_finding
from calc.electrical.mains.findings.volt_drop import drop_finding
from calc.electrical.mains.plugging import Plugging
from calc.prediction import Finding
from calc.system import Supply, SystemDescription
from calc.words import joined

__all__ = ["mains_findings", "plugging_unchecked"]


def mains_findings(system: SystemDescription, found: Plugging) -> tuple[Finding, ...]:
    """All of them. One phase without feeds is left to the finding on the total current."""
    if not found.plugged:
        return ()
    supplies = {supply.name: supply for supply in system.supplies}
    findings = [
        phase_finding(
            supplies[result.name],
            result,
            found.on(result.name),
            system.choices.crest_factor_db,
        )
        for result in found.supplies
        if found.on(result.name) and _worth_it(system, supplies[result.name])
    ]
    told = {one.name: one.assumed for one in found.plugged}
    findings += circuit_findings(system.circuits, found)
    findings += [drop_finding(feed, supplies[feed.supply], told[feed.rack]) for feed in found.feeds]
    findings += [
        inrush_finding(supply, found.on(supply.name), system.circuits)
        for supply in system.supplies
        if found.on(supply.name)
    ]
    assumed = {check: tuple(assumed_mains(system, check)) for check in ASSUMED_FIELDS}
    return tuple(replace(one, assumed=one.assumed + assumed[one.check]) for one in findings)


def plugging_unchecked(system: SystemDescription, found: Plugging) -> Iterator[str]:
    """What nobody said about the plugging."""
    names = {supply.name for supply in system.supplies}
    lost = [one.name for one in found.plugged if one.supply not in names]
    if lost and names:
        yield f"{joined(lost)}: on which supply is not described, so that no phase counts it."
    if system.rack_feeds:
        bare = [one.name for one in found.plugged if one.feed is None]
        if bare:
            yield f"{joined(bare)}: its mains cable is not described, no voltage drop is computed."
    if any(not result.exact for result in found.supplies):
        yield (
            "The phase plan was found by a rule of thumb (too many racks to try all plans): "
            "there may be a slightly better one."
        )


def _worth_it(system: SystemDescription, supply: Supply) -> bool:
    """Whether the phases of a supply are worth a finding."""
    return supply.phases > 1 or any(feed.supply == supply.name for feed in system.rack_feeds)
