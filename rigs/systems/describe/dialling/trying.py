"""What one output does, entered or only typed: curves, crossovers, and what fits its processor."""

from dataclasses import dataclass, replace

import numpy as np

from calc.prediction import CrossoverResult, Finding, OutputSheet
from calc.signals.response import basis_of, gain_factor, output_response
from calc.system import ProcessorAbilities, ProcessorOutput, SystemDescription
from rigs.systems.describe.cutting import cut_to_lines
from rigs.systems.describe.dialling.checked import checked_processing
from rigs.systems.describe.dialling.rows import with_output

__all__ = [
    "CrossoverResult",
    "OutputCurve",
    "OutputSheet",
    "TriedOutput",
    "curve_of",
    "tried_output",
]

POINTS = 240
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
    abilities = abilities_of(system, output.processor)
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


def abilities_of(system: SystemDescription, processor: str) -> ProcessorAbilities:
    """What the processor at a place can be set to; nothing is known where there is none."""
    place = next((p for p in system.processor_places if p.name == processor), None)
    sheets = system.processors if place else ()
    sheet = next((s for s in sheets if place and s.name == place.sheet), None)
    return sheet.abilities if sheet else ProcessorAbilities()


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
    checked = checked_processing(near)
    boxes = {link.placement for line in near.drive_lines for link in line.links}
    sheet = next((each for each in checked.sheets if each.processor == output.processor), None)
    outputs = sheet.outputs if sheet else ()
    return TriedOutput(
        tuple(each for each in checked.crossovers if {each.subject, *each.also} & boxes),
        tuple(checked.of({output.name, *boxes})),
        next((each for each in outputs if each.output == output.output), None),
        sheet.remarks if sheet else (),
        checked.fault,
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
