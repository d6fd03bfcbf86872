"""Resistance of a cable run."""

import math
from dataclasses import dataclass

from calc.constants import (
    COPPER_RESISTIVITY_OHM_MM2_PER_M,
    COPPER_TEMPERATURE_COEFFICIENT,
    IEC_60228_MAXIMUM_OHM_PER_KM,
)
from calc.system import CableSheet, Choices
from calc.words import number

NO_CABLE = "which cable is used"


@dataclass(frozen=True, slots=True)
class RunResistance:
    """Loop resistance of one cable run, or why it is unknown.

    `loop_ohm` counts both conductors and is None where unknown; then `missing` says what is
    missing. `working` and `assumed` are sentences for the page. `length_m` is that of the run,
    one way.
    """

    loop_ohm: float | None
    working: str = ""
    assumed: tuple[str, ...] = ()
    missing: str = ""
    length_m: float | None = None


def area_of_awg_mm2(gauge: int) -> float:
    """Area of a solid American wire gauge conductor in mm2.

    Parameters
    ----------
    gauge : int
        -3 (that is 4/0) to 40.

    Source: ASTM B258, d = 0.127 mm x 92^((36 - n)/39).
    """
    if not -3 <= gauge <= 40:
        raise ValueError("gauge must lie between -3 (4/0) and 40")
    diameter_mm: float = 0.127 * 92.0 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter_mm**2


def nominal_ohm_per_m(area_mm2: float) -> float:
    """Resistivity of copper over area, ohm per metre of one conductor at 20 degC."""
    return COPPER_RESISTIVITY_OHM_MM2_PER_M / area_mm2


def maximum_ohm_per_m(area_mm2: float, conductor_class: str) -> tuple[float, bool]:
    """Largest resistance that IEC 60228 allows, ohm per metre of one conductor at 20 degC.

    Returns
    -------
    ohm_per_m : float
    tabulated : bool
        False where the area is not in the table: then resistivity over area is raised by the
        ratio that the table has at its nearest area.

    Raises
    ------
    KeyError
        The class is not one of the table's.
    """
    table = IEC_60228_MAXIMUM_OHM_PER_KM[conductor_class]
    nearest = min(table, key=lambda area: abs(math.log(area / area_mm2)))
    if math.isclose(nearest, area_mm2, rel_tol=1e-6):
        return table[nearest] / 1000, True
    ratio = table[nearest] / 1000 / nominal_ohm_per_m(nearest)
    return nominal_ohm_per_m(area_mm2) * ratio, False


def at_temperature(ohm_at_20_c: float, temperature_c: float) -> float:
    """Copper's resistance at another temperature: R20 (1 + 0.00393 (T - 20))."""
    return ohm_at_20_c * (1 + COPPER_TEMPERATURE_COEFFICIENT * (temperature_c - 20))


def run_resistance(cable: CableSheet | None, pieces: int, choices: Choices) -> RunResistance:
    """Loop resistance of `pieces` equal cables in series: twice the run, both conductors.

    Parameters
    ----------
    cable : CableSheet or None
        None when nobody said which cable.
    pieces : int
        1 or more.
    choices : Choices
        Maximum (IEC 60228) or nominal resistance, and the temperature in degC.
    """
    if cable is None:
        return RunResistance(None, missing=NO_CABLE)
    area, length = cable.area_mm2.value, cable.length_m.value
    if area is None or length is None:
        what = "conductor area" if area is None else "length"
        return RunResistance(None, missing=f"the {what} of cable '{cable.name}'")
    assumed: tuple[str, ...] = ()
    if choices.conductor_resistance == "nominal":
        per_m, basis = nominal_ohm_per_m(area), "copper resistivity over area"
    elif cable.conductor_class == "unknown":
        return RunResistance(None, missing=f"the conductor class of cable '{cable.name}'")
    else:
        per_m, basis, assumed = _maximum(cable, area)
    assumed += _assumed_sizes(cable)
    loop = at_temperature(per_m, choices.cable_temperature_c) * 2 * length * pieces
    working = (
        f"Cable '{cable.name}': {number(pieces * length)} m x 2 conductors, "
        f"{number(area)} mm2 ({cable.area_mm2.basis}), {number(per_m * 1000)} ohm/km at 20 degC "
        f"({basis}), at {number(choices.cable_temperature_c)} degC: {number(loop)} ohm."
    )
    return RunResistance(loop, working, assumed, length_m=length * pieces)


def _assumed_sizes(cable: CableSheet) -> tuple[str, ...]:
    sizes = (("area", "mm2", cable.area_mm2), ("length", "m", cable.length_m))
    return tuple(
        f"Cable '{cable.name}': its {what} of {number(figure.value)} {unit} is assumed."
        for what, unit, figure in sizes
        if figure.basis == "assumed" and figure.value is not None
    )


def _maximum(cable: CableSheet, area: float) -> tuple[float, str, tuple[str, ...]]:
    per_m, tabulated = maximum_ohm_per_m(area, cable.conductor_class)
    basis = f"IEC 60228 maximum, class {cable.conductor_class}"
    if tabulated:
        return per_m, basis, ()
    return (
        per_m,
        basis + ", scaled",
        (
            f"Cable '{cable.name}': {number(area)} mm2 is not an area of IEC 60228; its resistance "
            "is scaled from the nearest area in the table.",
        ),
    )
