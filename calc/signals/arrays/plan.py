"""From boxes, a kind and a design frequency to a whole plan."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.air import speed_of_sound
from calc.signals.arrays.answers import (
    KINDS,
    ArrayBand,
    ArrayElement,
    ArrayKind,
    ArrayLimit,
    ArrayPlan,
    ArrayPolar,
)
from calc.signals.arrays.delays import SETTINGS
from calc.signals.arrays.figures import bands_of, decibels
from calc.signals.arrays.limits import limits_of, too_near
from calc.signals.arrays.sums import (
    Elements,
    all_round,
    band_power,
    direction_of,
    lines_in,
    sum_around,
)
from calc.system import Placement
from calc.words import level, number

BANDS_HZ = (31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0)
STEP_DEG = 5
LOWEST_HZ, HIGHEST_HZ = 20.0, 500.0
MOST_BOXES = 64

Floats = NDArray[np.float64]


def array_plan(
    boxes: Sequence[Placement],
    kind: ArrayKind,
    design_hz: float,
    aim_deg: float = 0.0,
    opening_deg: float = 90.0,
    temperature_c: float = 20.0,
    radius_m: float | None = None,
    stage_m: tuple[float, float, float] | None = None,
    bands_hz: Sequence[float] = BANDS_HZ,
) -> ArrayPlan:
    """Delay and polarity for each box of an array, and its sound all round.

    Parameters
    ----------
    boxes : sequence of Placement
        2 to 64; only their positions count.
    kind : ArrayKind
    design_hz : float
        20 to 500 Hz, the highest that the array shall play well.
    aim_deg : float
        Where it plays to: 0 along y, clockwise seen from above.
    opening_deg : float
        Of an arc only, above 0 and at most 180.
    radius_m : float, optional
        How far from the array's middle the polars are taken; None: far away.
    stage_m : (x, y, z), optional
        A spot on the stage.
    bands_hz : sequence of float
        Third-octave bands from 20 to 500 Hz, by their nominal middles.

    Raises
    ------
    ValueError
        In words: what of these cannot be.
    """
    positions = np.array([(b.x_m, b.y_m, b.z_m) for b in boxes], dtype=np.float64).reshape(-1, 3)
    _demand(positions, kind, design_hz, aim_deg, bands_hz, radius_m)
    speed = speed_of_sound(temperature_c)
    ahead, right = _along_and_across(positions, aim_deg)
    delay, sign = SETTINGS[kind](ahead, right, speed, opening_deg)
    elements = Elements(positions, delay, sign)
    limits = tuple(limits_of(kind, ahead, right, speed, design_hz))
    angles = np.arange(0, 360, STEP_DEG, dtype=np.float64)
    offsets = all_round(radius_m, aim_deg, angles)
    power = band_power(sum_around(elements, offsets, radius_m, lines_in(bands_hz), speed))
    found = tuple(bands_of(elements, power, angles, aim_deg, radius_m, stage_m, bands_hz, speed))
    return ArrayPlan(
        kind=kind,
        aim_deg=aim_deg,
        design_hz=design_hz,
        radius_m=radius_m,
        elements=tuple(
            ArrayElement(box.name, float(a), float(r), float(1000 * d), bool(s < 0))
            for box, a, r, d, s in zip(boxes, ahead, right, delay, sign, strict=True)
        ),
        limits=limits,
        angles_deg=tuple(angles.tolist()),
        polars=tuple(
            ArrayPolar(hz, tuple(decibels(column / column.max()).tolist()))
            for hz, column in zip(bands_hz, power.T, strict=True)
        ),
        bands=found,
        sentences=tuple(_sentences(limits, found, design_hz)),
        assumed=(
            "Each box is taken to radiate all round, at equal level; floor, walls and stage are "
            "left out.",
        ),
    )


def _demand(
    positions: Floats,
    kind: str,
    design_hz: float,
    aim_deg: float,
    bands_hz: Sequence[float],
    radius_m: float | None,
) -> None:
    if kind not in KINDS:
        raise ValueError(f"there is no kind of array called '{kind[:40]}'")
    if not 2 <= len(positions) <= MOST_BOXES:
        raise ValueError(f"an array has 2 to {MOST_BOXES} boxes; {len(positions)} were chosen")
    if not np.isfinite(positions).all() or not math.isfinite(aim_deg):
        raise ValueError("positions and aim must be numbers")
    if too_near(positions):
        raise ValueError("two boxes stand at the same place: enter where each of them stands")
    if not bands_hz or not all(LOWEST_HZ <= hz <= HIGHEST_HZ for hz in (design_hz, *bands_hz)):
        raise ValueError("sub arrays are worked out from 20 to 500 Hz")
    if radius_m is not None and not 1 <= radius_m <= 1000:
        raise ValueError("the distance of the polar must lie between 1 and 1000 m")


def _along_and_across(positions: Floats, aim_deg: float) -> tuple[Floats, Floats]:
    """Metres ahead of the rearmost box, and to the right of the middle."""
    ahead = positions @ direction_of(aim_deg)
    right = positions @ direction_of(aim_deg + 90)
    return ahead - ahead.min(), right - (right.max() + right.min()) / 2


SHOWN_DB = 0.05
"""Less is 0 at one digit."""


def _sentences(
    limits: Sequence[ArrayLimit], found: Sequence[ArrayBand], design_hz: float
) -> Iterator[str]:
    for limit in sorted(limits, key=lambda limit: limit.hz):
        if limit.state != "holds":
            yield limit.sentence
    at = min(found, key=lambda band: abs(math.log(band.band_hz / design_hz)))
    than = "quieter" if at.behind_db <= 0 else "louder"
    behind = f"{level(abs(at.behind_db))} {than} behind than ahead"
    if abs(at.behind_db) < SHOWN_DB:
        behind = "as loud behind as ahead"
    yield (
        f"In the {number(at.band_hz)} Hz band it is {behind}, and "
        f"{level(at.forward_loss_db)} are lost ahead against all boxes in phase."
    )
    costly = [band for band in found if band.forward_loss_db >= 3]
    if costly:
        worst = max(costly, key=lambda band: band.forward_loss_db)
        yield (
            f"It costs most in the {number(worst.band_hz)} Hz band: "
            f"{level(worst.forward_loss_db)} ahead."
        )
