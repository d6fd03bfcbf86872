"""American wire gauge to conductor area.

Source: ASTM B258, d = 0.127 mm * 92 ** ((36 - n) / 39); 1/0 is n = 0, 4/0 is n = -3.
"""

import math

GAUGES: dict[str, int] = {
    "4/0": -3,
    "3/0": -2,
    "2/0": -1,
    "1/0": 0,
    **{str(gauge): gauge for gauge in range(1, 31)},
}
"""Gauges that a cable on a truck may have, thickest first."""


def diameter_mm(gauge: int) -> float:
    """Diameter in mm of a solid wire of an AWG number (-3 for 4/0 up to 36)."""
    if not -3 <= gauge <= 36:
        raise ValueError(f"AWG {gauge} lies outside of 4/0 (-3) to 36")
    return float(0.127 * 92.0 ** ((36 - gauge) / 39))


def area_mm2(gauge: int) -> float:
    """Conductor area in mm2 of a solid wire of an AWG number."""
    return math.pi / 4 * diameter_mm(gauge) ** 2
