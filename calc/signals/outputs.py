"""What a drive line gets from its processor output."""

from dataclasses import dataclass, field

import numpy as np

from calc.lookup import Lookup
from calc.signals.response import Complex, Floats, output_response
from calc.system import DriveLine, ProcessorAbilities, ProcessorOutput


@dataclass(frozen=True, slots=True)
class Played:
    """An output as a line gets it; `output` is None where nobody said anything.

    Then the gain is unknown, and there is no delay, no inversion and no filter.
    """

    output: ProcessorOutput | None = None
    abilities: ProcessorAbilities = field(default_factory=ProcessorAbilities)

    @property
    def gain_db(self) -> float | None:
        """From input to output where the filters do nothing; None where nobody said."""
        return None if self.output is None else self.output.gain_db

    @property
    def delay_ms(self) -> float:
        """The output's delay, without the processor's own latency."""
        return 0.0 if self.output is None else self.output.delay_ms

    @property
    def filters_known(self) -> bool:
        """Whether somebody entered filters: an output without any is one not yet set."""
        return self.output is not None and bool(self.output.filters)

    def response(self, hz: Floats) -> Complex:
        """Filters and polarity, complex, shape (frequencies,)."""
        if self.output is None:
            return np.ones(len(hz), dtype=np.complex128)
        return output_response(self.output, self.abilities, hz)


def played_by(line: DriveLine, lookup: Lookup) -> Played:
    """What the processor does to a line."""
    return Played(lookup.output_of(line), lookup.abilities_of(line.processor))
