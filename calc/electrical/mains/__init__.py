"""From the amplifiers' mains plugs to the supply: currents, phases, voltage drop, switching on."""

from calc.electrical.mains.draws import current_a, draws, usable_a
from calc.electrical.mains.findings import mains_findings, plugging_unchecked
from calc.electrical.mains.plugging import plugging
from calc.electrical.mains.start import start_order

__all__ = [
    "current_a",
    "draws",
    "mains_findings",
    "plugging",
    "plugging_unchecked",
    "start_order",
    "usable_a",
]
