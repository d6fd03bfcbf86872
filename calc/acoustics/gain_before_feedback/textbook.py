"""Potential and needed acoustic gain from distances alone, everything radiating all round.

Handbook for Sound Engineers, ch. 34. Any one unit of length serves for all distances.
"""

import math

from calc.constants import FEEDBACK_MARGIN_DB


def potential_gain_db(
    *,
    source_m: float,
    farthest_m: float,
    box_to_microphone_m: float,
    box_to_farthest_m: float,
    open_microphones: int = 1,
    critical_m: float = math.inf,
) -> float:
    """How much louder the farthest listener can hear the source through the rig, in dB.

    20 lg(D0 D1 / (Ds D2)) - 10 lg(open microphones) - 6. The 6 dB keep it from ringing.

    Parameters
    ----------
    source_m : float
        Ds, from the source to the microphone.
    farthest_m : float
        D0, from the source to the farthest listener.
    box_to_microphone_m, box_to_farthest_m : float
        D1 and D2.
    critical_m : float
        Critical distance of the room; infinite outdoors.
    """
    ratio = (
        far_db(farthest_m, critical_m)
        + far_db(box_to_microphone_m, critical_m)
        - far_db(source_m, critical_m)
        - far_db(box_to_farthest_m, critical_m)
    )
    return ratio - shared_db(open_microphones) - FEEDBACK_MARGIN_DB


def needed_gain_db(farthest_m: float, equivalent_m: float, critical_m: float = math.inf) -> float:
    """How much louder the listener shall hear it: as from `equivalent_m`, 20 lg(D0 / EAD)."""
    return far_db(farthest_m, critical_m) - far_db(equivalent_m, critical_m)


def shared_db(open_microphones: int) -> float:
    """What each open microphone loses to the others, 10 lg(number), in dB."""
    return 10 * math.log10(open_microphones)


def far_db(distance_m: float, critical_m: float = math.inf) -> float:
    """20 lg(distance); in a room its square is multiplied by Dc^2 / (Dc^2 + distance^2)."""
    return 20 * math.log10(distance_m) - 10 * math.log10(1 + (distance_m / critical_m) ** 2)
