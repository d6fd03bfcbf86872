"""Voltage drop along a mains cable by IEC 60364-5-52 annex G."""

import math

from calc.constants import (
    MAINS_COPPER_OHM_MM2_PER_M,
    MAINS_REACTANCE_OHM_PER_M,
    MAINS_UNKNOWN_COS_PHI,
)


def drop_v(
    amps: float,
    length_m: float,
    area_mm2: float,
    cos_phi: float = MAINS_UNKNOWN_COS_PHI,
    three_phase: bool = False,
) -> float:
    """u = b (rho L / S cos phi + lambda L sin phi) I, in V between a phase and neutral.

    b is 2 for single phase (there and back) and 1 for a balanced three-phase load. rho is that
    of copper in service, so that no temperature is added; compare it with the voltage between
    phase and neutral (230 V, not 400 V), also in three phase.

    Parameters
    ----------
    amps : float
        rms current of a phase.
    area_mm2 : float
        Of one conductor, above 0.
    cos_phi : float
        0 to 1.
    """
    b = 1.0 if three_phase else 2.0
    sin_phi = math.sqrt(1 - cos_phi**2)
    per_m = MAINS_COPPER_OHM_MM2_PER_M / area_mm2 * cos_phi + MAINS_REACTANCE_OHM_PER_M * sin_phi
    return b * per_m * length_m * amps


def worst_drop_v(amps: float, length_m: float, area_mm2: float) -> float:
    """The larger drop of cos phi 0.8 (unknown, annex G) and 1 (rectifiers draw in phase), V."""
    return max(drop_v(amps, length_m, area_mm2, cos_phi) for cos_phi in (MAINS_UNKNOWN_COS_PHI, 1))
