"""What `calc` says of a rig's processing: dial-in sheets, crossovers, alignments, findings."""

from collections.abc import Collection
from dataclasses import dataclass, replace

from calc.check import check
from calc.prediction import (
    SEVERITY,
    AlignmentResult,
    CrossoverResult,
    DialInSheet,
    Finding,
)
from calc.system import SystemDescription

__all__ = ["AlignmentResult", "CheckedProcessing", "CrossoverResult", "checked_processing"]

CHECKS: frozenset[str] = frozenset(
    {
        "alignment",
        "crossover_order",
        "crossover_polarity",
        "delay_as_inversion",
        "delay_drift",
        "fits_processor",
        "protection",
    }
)


@dataclass(frozen=True, slots=True)
class CheckedProcessing:
    """Answers about processing; `fault` says why there are none."""

    sheets: tuple[DialInSheet, ...] = ()
    crossovers: tuple[CrossoverResult, ...] = ()
    alignments: tuple[AlignmentResult, ...] = ()
    findings: tuple[Finding, ...] = ()
    fault: str = ""

    def of(self, subjects: Collection[str]) -> list[Finding]:
        """Findings about some outputs, boxes or alignments, worst first."""
        found = [finding for finding in self.findings if finding.subject in subjects]
        return sorted(found, key=lambda finding: SEVERITY.index(finding.state))


def checked_processing(system: SystemDescription) -> CheckedProcessing:
    """Check everything but mains, weights and maps, or say why it cannot be done."""
    quiet = replace(
        system,
        areas=(),
        places=(),
        room=None,
        supplies=(),
        circuits=(),
        rack_feeds=(),
        supports=(),
        extra_loads=(),
        microphones=(),
        placements=tuple(replace(box, support="") for box in system.placements),
    )
    try:
        found = check(quiet)
    except ValueError as fault:
        return CheckedProcessing(fault=str(fault))
    return CheckedProcessing(
        found.sheets,
        found.crossovers,
        found.alignments,
        tuple(finding for finding in found.findings if finding.check in CHECKS),
    )
