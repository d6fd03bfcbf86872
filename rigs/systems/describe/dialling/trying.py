"""What one output does, entered or only typed: curves, crossovers, and what fits its processor."""

from dataclasses import dataclass, replace

import numpy as np

from calc.check import check_lines
from calc.lookup import Lookup
from calc.prediction import SEVERITY, CrossoverResult, Finding, OutputSheet
from calc.signals.crossover_findings import crossover_findings
from calc.signals.crossovers import crossover_results
from calc.signals.dial_in import dial_in_sheets
from calc.signals.protection import protection_findings
from calc.signals.response import basis_of, gain_factor, output_response
from calc.system import ProcessorOutput, SystemDescription
from rigs.systems.describe.cutting import cut_to_lines
from rigs.systems.describe.dialling.rows import with_output

__all__ = [
    "CrossoverResult",
    "OutputCurve",
    "OutputSheet",
    "TriedOutput",
    "curve_of",
    "tried_output",
]

POINTS = 161
LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
FAINTEST = 1e-6


@dataclass(frozen=True, slots=True)
class OutputCurve:
    """Level and phase of an output's filters; the gain is in the level, the delay in neither.

    `basis` says whether the filters are taken as analogue or digital. `fault` says why there
    is nothing to draw.
    """

    frequency_hz: tuple[float, ...] = ()
    level_db: tuple[float, ...] = ()
    phase_deg: tuple[float, ...] = ()
    basis: str = ""
    fault: str = ""


def curve_of(system: SystemDescription, output: ProcessorOutput) -> OutputCurve:
    """What an output's filters, gain and polarity do from 20 Hz to 20 kHz."""
    abilities = Lookup.of(system).abilities_of(output.processor)
    hz = np.geomspace(LOWEST_HZ, HIGHEST_HZ, POINTS)
    try:
        found = output_response(output, abilities, hz)
    except ValueError as fault:
        return OutputCurve(fault=str(fault))
    factor = gain_factor(output)
    size = np.maximum(np.abs(found), FAINTEST) * (1.0 if factor is None else factor)
    return OutputCurve(
        tuple(hz.tolist()),
        tuple((20 * np.log10(size)).tolist()),
        tuple(np.degrees(np.angle(found)).tolist()),
        basis_of(abilities.sampling_hz.value),
    )


@dataclass(frozen=True, slots=True)
class TriedOutput:
    """What is found about one output: crossovers of its boxes, findings, and its sheet."""

    crossovers: tuple[CrossoverResult, ...] = ()
    findings: tuple[Finding, ...] = ()
    sheet: OutputSheet | None = None
    remarks: tuple[str, ...] = ()
    fault: str = ""


def tried_output(system: SystemDescription, output: ProcessorOutput) -> TriedOutput:
    """Check an output as wished for, with nothing of the rig but what plays the same boxes."""
    near = _near(with_output(system, output), output)
    key = output.processor, output.output
    try:
        lines = check_lines(near)
    except ValueError as fault:
        return TriedOutput(fault=str(fault))
    lookup = Lookup.of(near)
    crossovers = crossover_results(near, lookup, lines, key)
    found = [
        *crossover_findings(near, lookup, lines, crossovers, key),
        *(each for each in protection_findings(near, lookup) if each.subject == output.name),
    ]
    sheet = next(iter(dial_in_sheets(_alone(near, output), lookup, lines)), None)
    return TriedOutput(
        crossovers,
        tuple(sorted(found, key=lambda finding: SEVERITY.index(finding.state))),
        sheet.outputs[0] if sheet else None,
        sheet.remarks if sheet else (),
    )


def _alone(near: SystemDescription, output: ProcessorOutput) -> SystemDescription:
    """What the sheet of this output stands on, and nothing that others are set to."""
    key = output.processor, output.output
    return replace(
        near,
        drive_lines=tuple(
            line for line in near.drive_lines if (line.processor, line.output) == key
        ),
        outputs=(output,),
        processor_places=tuple(p for p in near.processor_places if p.name == output.processor),
    )


def _near(system: SystemDescription, output: ProcessorOutput) -> SystemDescription:
    """Only the lines of this output, and those that play other ways of the same boxes."""
    key = output.processor, output.output
    mine = [line for line in system.drive_lines if (line.processor, line.output) == key]
    boxes = {link.placement for line in mine for link in line.links}
    names = {
        line.name
        for line in system.drive_lines
        if line in mine or any(link.placement in boxes for link in line.links)
    }
    cut = cut_to_lines(system, names)
    keys = {key} | {(line.processor, line.output) for line in cut.drive_lines}
    places = tuple(
        p for p in system.processor_places if p.name in {processor for processor, _ in keys}
    )
    sheets = {place.sheet for place in places}
    return replace(
        cut,
        outputs=tuple(o for o in system.outputs if (o.processor, o.output) in keys),
        processor_places=places,
        processors=tuple(s for s in system.processors if s.name in sheets),
        spots=(),
        measured=(),
        alignments=(),
    )
