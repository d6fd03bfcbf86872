"""A balloon from its two polar diagrams.

Between the planes the level in dB goes with the squares of the cosine and the sine of the
azimuth: L(polar, azimuth) = cos^2 L_horizontal(polar) + sin^2 L_vertical(polar), each from its
own side (right or left, above or below). For shapes whose level falls with the square of the
angle these are ellipses. A drawing rule and no measurement: between the planes a real box may
differ. Common practice, no source.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.directivity.piston import nested
from calc.acoustics.directivity.table import FLOOR_DB, polar_grid_deg
from calc.system import Balloon
from calc.words import number

STEPS_DEG = (5.0, 10.0)

Floats = NDArray[np.float64]
Rows = Sequence[Sequence[float]]


def balloon_of_polars(
    band_hz: Sequence[float],
    horizontal_deg: Sequence[float],
    horizontal_db: Rows,
    vertical_deg: Sequence[float],
    vertical_db: Rows,
) -> Balloon:
    """Two polar diagrams become a whole balloon.

    Parameters
    ----------
    band_hz : (bands,)
        Rising.
    horizontal_deg, vertical_deg : (angles,)
        Every 5 or every 10 degrees, from 0 to 180 (the other half is mirrored) or all round,
        from -180 or 0 onwards. Positive is to the right, and up.
    horizontal_db, vertical_db : (angles, bands)
        One row for each angle, in dB re anything: each band is set to 0 dB at 0 degrees.

    Raises
    ------
    ValueError
        In words: missing angles, a wrong step, no numbers.
    """
    hz = np.asarray(band_hz, dtype=np.float64)
    if hz.ndim != 1 or len(hz) < 1 or not (np.diff(hz) > 0).all() or not hz[0] > 0:
        raise ValueError("the polars' bands must rise from above 0 Hz")
    right, left = _sides(horizontal_deg, horizontal_db, len(hz), "horizontal")
    up, down = _sides(vertical_deg, vertical_db, len(hz), "vertical")
    azimuth = np.arange(0.0, 360.0, 5.0)
    turn = np.radians(azimuth)[None, :, None]
    across = np.where(np.cos(turn) >= 0, right[:, None], left[:, None])
    over = np.where(np.sin(turn) >= 0, up[:, None], down[:, None])
    level = np.cos(turn) ** 2 * across + np.sin(turn) ** 2 * over
    return Balloon(
        band_hz=tuple(hz.tolist()),
        polar_deg=tuple(polar_grid_deg().tolist()),
        azimuth_deg=tuple(azimuth.tolist()),
        level_db=nested(np.maximum(level, FLOOR_DB)),
    )


def _sides(angles: Sequence[float], rows: Rows, count: int, plane: str) -> tuple[Floats, Floats]:
    """Positive and negative side at 0, 5, ... 180 degrees, each (bands, polars)."""
    angle = np.asarray(angles, dtype=np.float64)
    try:
        level = np.asarray(rows, dtype=np.float64)
    except ValueError:
        raise ValueError(f"the {plane} polar needs one level for each band in each row") from None
    if level.shape != (len(angle), count):
        raise ValueError(f"the {plane} polar needs one row for each angle, {count} levels in each")
    if not (np.isfinite(angle).all() and np.isfinite(level).all()):
        raise ValueError(f"the {plane} polar holds something that is no number")
    turned = np.round(180 - (180 - angle) % 360, 6)  # 180 rather than -180
    turned, first = np.unique(turned, return_index=True)
    level = level[first]
    if turned[0] < 0 and turned[-1] == 180:
        turned, level = np.append(-180.0, turned), np.concatenate([level[-1:], level])
    positive = _side(turned, level, plane)
    if turned[0] >= 0:
        return positive, positive
    return positive, _side(-turned[::-1], level[::-1], plane)


def _side(angle: Floats, level: Floats, plane: str) -> Floats:
    here = (angle >= 0) & (angle <= 180)
    found, values = angle[here], level[here]
    steps = np.diff(found)
    if not len(found) or found[0] != 0:
        raise ValueError(f"the {plane} polar lacks its axis, 0 degrees")
    step = float(steps[0]) if len(steps) else 0.0
    if step not in STEPS_DEG:
        raise ValueError(f"the {plane} polar must go in steps of 5 or 10 degrees")
    gap = next((i for i, width in enumerate(steps) if abs(width - step) > 1e-6), None)
    if gap is not None or found[-1] != 180:
        last = found[-1] if gap is None else found[gap]
        raise ValueError(f"the {plane} polar lacks angles after {number(float(last))} degrees")
    values = values - values[0]
    return np.array([np.interp(polar_grid_deg(), found, column) for column in values.T])


def polars_of_csv(text: str) -> Balloon:
    """Read polars from text: a heading `plane,angle,<Hz>,...`, then rows of levels in dB.

    `plane` is h (horizontal) or v (vertical).

    Raises
    ------
    ValueError
        With the row and the fault in words.
    """
    rows = [[cell.strip() for cell in line.split(",")] for line in text.splitlines()]
    rows = [row for row in rows if any(row)]
    if not rows or [word.lower() for word in rows[0][:2]] != ["plane", "angle"]:
        raise ValueError("row 1: must read plane,angle and then the bands in Hz")
    hz = [_number(cell, 1) for cell in rows[0][2:]]
    planes: dict[str, tuple[list[float], list[list[float]]]] = {"h": ([], []), "v": ([], [])}
    for place, row in enumerate(rows[1:], start=2):
        plane = planes.get(row[0][:1].lower())
        if plane is None:
            raise ValueError(f"row {place}: the plane must be h or v")
        if len(row) != len(hz) + 2:
            raise ValueError(f"row {place}: has {len(row) - 2} levels for {len(hz)} bands")
        plane[0].append(_number(row[1], place))
        plane[1].append([_number(cell, place) for cell in row[2:]])
    for key, word in (("h", "horizontal"), ("v", "vertical")):
        if not planes[key][0]:
            raise ValueError(f"the {word} polar is missing")
    return balloon_of_polars(hz, *planes["h"], *planes["v"])


def _number(cell: str, place: int) -> float:
    try:
        return float(cell)
    except ValueError:
        raise ValueError(f"row {place}: '{cell[:40]}' is no number") from None
