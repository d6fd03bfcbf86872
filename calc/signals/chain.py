"""What the processor does on a drive line's way, as far as somebody said."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.lookup import Lookup
from calc.signals.response import delay_turn, gain_factor, output_response
from calc.system import (
    DriveLine,
    ProcessorAbilities,
    ProcessorOutput,
    SystemDescription,
)

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

UNSTATED = ProcessorAbilities()


@dataclass(frozen=True, slots=True)
class Chain:
    """A line's processor output; `output` None: nobody said what it is set to.

    `sheet` names the processor's model, "" without a processor. `latency_ms` is None where a
    processor does not state it.
    """

    line: DriveLine
    output: ProcessorOutput | None
    abilities: ProcessorAbilities
    sheet: str
    latency_ms: float | None

    @property
    def delay_ms(self) -> float:
        """As set; 0 where nobody said."""
        return 0.0 if self.output is None else self.output.delay_ms

    @property
    def inverted(self) -> bool:
        """As set; not where nobody said."""
        return self.output is not None and self.output.inverted

    @property
    def late_ms(self) -> float:
        """Delay as set and the latency that is known."""
        return self.delay_ms + (self.latency_ms or 0.0)

    @property
    def gain(self) -> float | None:
        """Its output's gain as a ratio of amplitudes; None where nobody said."""
        return None if self.output is None else gain_factor(self.output)

    def response(self, hz: Floats) -> Complex:
        """Filters, polarity, delay and latency, complex; the gain is not in it."""
        turned = delay_turn(self.late_ms, hz)
        if self.output is None:
            return turned
        return turned * output_response(self.output, self.abilities, hz)


def chains_of(system: SystemDescription, lookup: Lookup) -> dict[str, Chain]:
    """Every drive line's chain by the line's name."""
    found = {}
    for line in system.drive_lines:
        place = lookup.processor_places.get(line.processor)
        if place is None:
            found[line.name] = Chain(line, None, UNSTATED, "", 0.0)
            continue
        sheet = lookup.processors[place.sheet]
        output = lookup.output_of(line)
        latency = sheet.abilities.latency_ms.value
        found[line.name] = Chain(line, output, sheet.abilities, sheet.name, latency)
    return found
