"""Delay towers and fills: where the main system has fallen by 6 dB along an axis."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.coverage import level_db
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource
from calc.acoustics.helpers.aim import drawn_in_balance
from calc.system import SystemDescription

FALLEN_DB = 6.0
AFTER_MAIN_MS = 10.0
"""ms. A tower sounds 5 to 15 ms after the main system, under 10 dB louder. CP (Haas)."""

STEP_M = 0.5


@dataclass(frozen=True, slots=True)
class Throw:
    """How far the main system carries along an axis.

    `distance_m` and `level_db` (500 Hz to 4 kHz, balance as set, else full drive) from the start
    outwards. `reference_m` is where it was compared, `fallen_m` where it is first 6 dB lower
    beyond, at `tower_at_m`; None where it never is. `delay_ms` is for a box right there: the main
    system's way through the air, its own delay and 10 ms; subs, which play no mids, do not count
    for it. `near_m` is up to where, from the
    start, it is 6 dB or more below the reference, None if nowhere: fills belong there.
    """

    distance_m: tuple[float, ...]
    level_db: tuple[float, ...]
    reference_m: float
    fallen_m: float | None
    tower_at_m: tuple[float, float] | None
    delay_ms: float | None
    near_m: float | None


def throw(
    system: SystemDescription,
    x_m: float,
    y_m: float,
    ear_z_m: float,
    azimuth_deg: float = 0.0,
    reference_m: float = 10.0,
    length_m: float = 150.0,
    placements: Sequence[str] = (),
) -> Throw:
    """Follow the main system's level along an axis from (x, y) at ear height.

    Parameters
    ----------
    reference_m : float
        Distance from the start whose level the rest is held against.
    placements : names, optional
        The main system; all boxes if left out.

    Raises
    ------
    ValueError
        As `calc.check.check`; distances that cannot be; nothing of the main system to draw.
    """
    if not 0 <= reference_m < length_m <= 1000:
        raise ValueError("the reference must lie before the axis' end, which is 1000 m at most")
    wanted = set(placements)
    drawn = [d for d in drawn_in_balance(system)[0] if not wanted or d.placement in wanted]
    if not any(_plays_mids(d.source) for d in drawn):
        raise ValueError("nothing of the main system can be drawn in the mids")
    turn = math.radians(azimuth_deg)
    count = math.floor(length_m / STEP_M) + 1
    distance = STEP_M * np.arange(count)
    points = np.column_stack(
        [
            x_m + distance * math.sin(turn),
            y_m + distance * math.cos(turn),
            np.full(count, ear_z_m),
        ]
    )
    energy = band_energy(
        [d.source for d in drawn],
        points,
        system.surroundings,
        system.choices.coherent_below_hz,
    )
    level = level_db(energy[:, bands.MIDS].sum(axis=1))
    start = int(np.abs(distance - reference_m).argmin())
    low = level <= level[start] - FALLEN_DB
    beyond = np.flatnonzero(low[start:])
    near = np.flatnonzero(low[:start])
    fallen = None if not len(beyond) else start + int(beyond[0])
    speed = speed_of_sound(system.surroundings.temperature_c)
    delay = None
    if fallen is not None:
        heard = [d.source for d in drawn if _plays_mids(d.source)]
        arrivals = [math.dist(s.position_m, points[fallen]) / speed + s.delay_s for s in heard]
        delay = 1000 * min(arrivals) + AFTER_MAIN_MS
    return Throw(
        distance_m=tuple(distance.tolist()),
        level_db=tuple(level.tolist()),
        reference_m=float(distance[start]),
        fallen_m=None if fallen is None else float(distance[fallen]),
        tower_at_m=None if fallen is None else (float(points[fallen, 0]), float(points[fallen, 1])),
        delay_ms=delay,
        near_m=None if not len(near) else float(distance[near[-1]]),
    )


def _plays_mids(source: PointSource) -> bool:
    """Whether a source plays anything between 500 Hz and 4 kHz."""
    by_band = source.gain.reshape(-1, bands.LINES_PER_BAND)
    return bool(np.abs(by_band[bands.MIDS]).any())
