"""What a drive line gets from its processor output."""

from dataclasses import dataclass, field

import numpy as np

from calc.lookup import Lookup
from calc.signals.response import Complex, Floats, delay_turn, gain_factor, output_response
from calc.system import DriveLine, ProcessorAbilities, ProcessorOutput


@dataclass(frozen=True, slots=True)
class Played:
    """An output as a line gets it; `output` is None where nobody said anything.

    Then the gain is unknown, and there is no delay, no inversion and no filter. `model` names
    the processor's sheet, "" without a processor.
    """

    output: ProcessorOutput | None = None
    abilities: ProcessorAbilities = field(default_factory=ProcessorAbilities)
    model: str = ""

    @property
    def gain_db(self) -> float | None:
        """From input to output where the filters do nothing; None where nobody said."""
        return None if self.output is None else self.output.gain_db

    @property
    def gain(self) -> float | None:
        """The same as a ratio of amplitudes."""
        return None if self.output is None else gain_factor(self.output)

    @property
    def delay_ms(self) -> float:
        """The output's delay, without the processor's own latency."""
        return 0.0 if self.output is None else self.output.delay_ms

    @property
    def inverted(self) -> bool:
        """As set; not where nobody said."""
        return self.output is not None and self.output.inverted

    @property
    def latency_ms(self) -> float | None:
        """The processor's own; None where its sheet does not state it."""
        return self.abilities.latency_ms.value if self.model else 0.0

    @property
    def late_ms(self) -> float:
        """Delay as set and the latency that is known."""
        return self.delay_ms + (self.latency_ms or 0.0)

    @property
    def filters_known(self) -> bool:
        """Whether somebody entered filters: an output without any is one not yet set."""
        return self.output is not None and bool(self.output.filters)

    def response(self, hz: Floats) -> Complex:
        """Filters and polarity, complex, shape (frequencies,)."""
        if self.output is None:
            return np.ones(len(hz), dtype=np.complex128)
        return output_response(self.output, self.abilities, hz)

    def late_response(self, hz: Floats) -> Complex:
        """Filters, polarity, delay and latency, complex, shape (frequencies,)."""
        return delay_turn(self.late_ms, hz) * self.response(hz)


def played_by(line: DriveLine, lookup: Lookup) -> Played:
    """What the processor does to a line."""
    place = lookup.processor_places.get(line.processor)
    if place is None:
        return Played()
    sheet = lookup.processors[place.sheet]
    return Played(lookup.output_of(line), sheet.abilities, sheet.name)
