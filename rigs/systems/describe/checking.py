"""The drive lines of a rig checked while somebody looks: electrical figures, no map."""

from dataclasses import dataclass, field

from calc.check import check_lines
from calc.prediction import LineResult
from calc.system import SystemDescription


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
