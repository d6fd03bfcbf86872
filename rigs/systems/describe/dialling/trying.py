"""What one output does, entered or only typed: curves, crossovers, and what fits its processor."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from calc.prediction import CrossoverResult, Finding, OutputSheet
from calc.signals.response import basis_of, gain_factor, output_response
from calc.system import ProcessorAbilities, ProcessorOutput, SystemDescription
from rigs.systems.describe.dialling.rows import with_output

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
