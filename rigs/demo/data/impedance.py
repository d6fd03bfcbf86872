"""Impedance curves, worked out from the few parts that make one. The boxes are invented.

A voice coil is a resistance and an inductance that losses in the iron bypass; a cone, a port or
a crossover adds a parallel resonance: R / (1 + j Q (f / f0 - f0 / f)). All in series. Every part
takes power and gives none, so no such sum can have a phase beyond 90 degrees.
"""

import cmath
import math
from dataclasses import dataclass

from rigs.catalogue.impedance import Curve

STEPS_AN_OCTAVE = 12


@dataclass(frozen=True)
class Hump:
    """A resonance: its height over the coil's resistance, and its sharpness."""

    hz: float
    ohm: float
    q: float

    def at(self, hz: float) -> complex:
        return self.ohm / (1 + 1j * self.q * (hz / self.hz - self.hz / hz))


@dataclass(frozen=True)
class Coil:
    """A voice coil: direct current resistance, inductance, and the loss beside it."""

    ohm: float
    mh: float
    loss_ohm: float

    def at(self, hz: float) -> complex:
        inductive = 2j * math.pi * hz * self.mh / 1000
        return self.ohm + inductive * self.loss_ohm / (inductive + self.loss_ohm)


def curve(
    coil: Coil, humps: tuple[Hump, ...], low_hz: float, high_hz: float, *, phase: bool = True
) -> Curve:
    """Twelve points an octave, rounded as a meter shows them."""
    steps = round(STEPS_AN_OCTAVE * math.log2(high_hz / low_hz))
    hz = [float(f"{low_hz * 2 ** (n / STEPS_AN_OCTAVE):.4g}") for n in range(steps + 1)]
    ohm = [coil.at(f) + sum(hump.at(f) for hump in humps) for f in hz]
    return Curve(
        tuple(hz),
        tuple(round(abs(z), 2) for z in ohm),
        tuple(round(math.degrees(cmath.phase(z)), 1) for z in ohm) if phase else (),
    )


# Bass reflex: two humps, the port's tuning in the dip between them.
BITTERN_18 = curve(Coil(5.9, 1.1, 40), (Hump(20, 38, 7.5), Hump(64, 46, 9.0)), 10, 500)
GODWIT_15_LF = curve(Coil(6.5, 0.45, 26), (Hump(30, 34, 6.0), Hump(82, 42, 7.0)), 20, 2500)

# A horn driver: the horn's throat makes several small humps.
GODWIT_15_HF = curve(
    Coil(12.9, 0.06, 24), (Hump(560, 14, 2.2), Hump(1150, 9, 3.5), Hump(2100, 3.5, 4.0)),
    300, 20000,
)  # fmt: skip

# Bass reflex with a passive crossover, whose hump stands where it hands over.
WHIMBREL_12 = curve(
    Coil(6.2, 0.3, 4.5), (Hump(36, 26, 5.5), Hump(96, 33, 6.5), Hump(1900, 12, 1.1)), 20, 20000
)  # fmt: skip

# Older boxes are not always what their sheets say: rated 4 ohm, it dips below 3.2.
FELDSPAR_12 = curve(
    Coil(2.55, 0.2, 2.4), (Hump(35, 16, 4.8), Hump(90, 20, 5.4), Hump(2300, 6, 1.1)), 20, 20000
)  # fmt: skip

# Magnitude only: the meter of that day had no phase.
MIZZLE_12 = curve(
    Coil(6.25, 0.25, 4.0), (Hump(42, 22, 5.0), Hump(106, 27, 5.6), Hump(2000, 10, 1.0)),
    20, 20000, phase=False,
)  # fmt: skip
