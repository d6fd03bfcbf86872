"""What a rig's pages compute while somebody looks: electrical figures and sums, no map."""

from collections.abc import Collection
from dataclasses import dataclass, field, replace

from calc.check import check, check_lines, check_microphones
from calc.electrical.outputs import output_findings
from calc.lookup import Lookup
from calc.prediction import Finding, LineResult, Prediction
from calc.rig_findings import pole_findings
from calc.system import SystemDescription
from rigs.systems.describe.cutting import cut_to_lines

MAINS_CHECKS = ("supply", "phase", "volt_drop", "inrush")
WEIGHT_CHECKS = ("weight",)
OUTPUT_CHECKS = ("shared_pole_pair", "shared_output", "linked_inputs")


@dataclass(frozen=True, slots=True)
class CheckedLines:
    """Results by the line's name; `fault` says why there are none."""

    results: dict[str, LineResult] = field(default_factory=dict)
    fault: str = ""


def checked_lines(system: SystemDescription) -> CheckedLines:
    """Check the lines of a description, or say why it cannot be done."""
    try:
        return CheckedLines({result.name: result for result in check_lines(system)})
    except ValueError as fault:
        return CheckedLines(fault=str(fault))


def checked_few(system: SystemDescription, names: Collection[str]) -> CheckedLines:
    """Check some lines only, as fast as they are few."""
    return checked_lines(cut_to_lines(system, names))


def checked_outputs(system: SystemDescription, checked: CheckedLines) -> tuple[Finding, ...]:
    """Outputs, inputs and pole pairs that several lines share, where every line was checked."""
    if any(line.name not in checked.results for line in system.drive_lines):
        return ()
    lookup = Lookup.of(system)
    poles = tuple(pole_findings(system, lookup))
    return poles + output_findings(system, lookup, tuple(checked.results.values()))


def checked_microphones(system: SystemDescription, checked: CheckedLines) -> tuple[Finding, ...]:
    """Gain before feedback of the stage microphones, where every line was checked."""
    if any(line.name not in checked.results for line in system.drive_lines):
        return ()
    return check_microphones(
        system, tuple(checked.results[line.name] for line in system.drive_lines)
    )


def lines_beside(system: SystemDescription, name: str) -> set[str]:
    """A line, and those that share its processor output or its amplifier."""
    line = next(each for each in system.drive_lines if each.name == name)
    return {
        other.name
        for other in system.drive_lines
        if other.amplifier == line.amplifier
        or (
            line.output is not None
            and (other.processor, other.output) == (line.processor, line.output)
        )
    }


@dataclass(frozen=True, slots=True)
class CheckedSums:
    """Mains and weights of a rig; `fault` says why there is no prediction."""

    prediction: Prediction | None = None
    fault: str = ""

    def findings(self, checks: Collection[str]) -> tuple[Finding, ...]:
        """The findings of some kinds."""
        found = self.prediction.findings if self.prediction else ()
        return tuple(finding for finding in found if finding.check in checks)


def checked_sums(system: SystemDescription) -> CheckedSums:
    """Check everything but lines and map, or say why it cannot be done."""
    try:
        return CheckedSums(check(replace(system, areas=(), drive_lines=(), microphones=())))
    except ValueError as fault:
        return CheckedSums(fault=str(fault))
