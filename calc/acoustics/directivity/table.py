"""Any balloon on one grid: every 5 degrees, all computed bands, symmetric halves completed.

Directions are told as a box sees them: `polar` is the angle from its aim (0 to 180 deg),
`azimuth` turns about the aim, 0 to the box's right (seen along its aim), 90 up, 180 left.
Steps of 5 degrees are those of AES56-2008.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.system import Balloon
from calc.words import number

STEP_DEG = 5.0
POLARS, AZIMUTHS = 37, 72
FLOOR_DB = -100.0
"""Written where nothing radiates."""

WIDEST_STEP_DEG = 15.0
AXIS_WITHIN_DB = 0.1
LOUDEST_DB = 60.0

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]
Table = NDArray[np.complex64]
"""Pressure re the axis, (bands, AZIMUTHS + 1, POLARS); the last azimuth repeats the first."""


def polar_grid_deg() -> Floats:
    """0, 5, ... 180 degrees, shape (37,)."""
    return STEP_DEG * np.arange(POLARS, dtype=np.float64)


def azimuth_grid_deg() -> Floats:
    """0, 5, ... 360 degrees, shape (73,)."""
    return STEP_DEG * np.arange(AZIMUTHS + 1, dtype=np.float64)


def balloon_faults(balloon: Balloon) -> Iterator[str]:
    """What makes a balloon impossible to use, in words."""
    polar, azimuth = np.array(balloon.polar_deg), np.array(balloon.azimuth_deg)
    hz = np.array(balloon.band_hz)
    if len(hz) < 1 or not (np.diff(hz) > 0).all() or hz[0] <= 0:
        yield "its bands must rise."
    if len(polar) < 2 or polar[0] != 0 or polar[-1] != 180:
        yield "its polar angles must go from 0 (the axis) to 180 degrees; some are missing."
    elif not _evenly(polar):
        yield f"its polar angles must rise evenly by at most {number(WIDEST_STEP_DEG)} degrees."
    if not _is_circle(azimuth):
        yield (
            "its azimuths must go evenly round the circle from 0, or cover 0 to 90, 0 to 180 or "
            f"-90 to 90 degrees (the rest is mirrored), by at most {number(WIDEST_STEP_DEG)}."
        )
    shape = (len(hz), len(azimuth), len(polar))
    level, phase = _array(balloon.level_db), _array(balloon.phase_deg)
    for values, what in ((level, "levels"), (phase, "phases")):
        if what == "phases" and not balloon.phase_deg:
            continue
        if values is None or values.shape != shape:
            yield f"its {what} must be {shape[0]} bands x {shape[1]} azimuths x {shape[2]} polars."
        elif not np.isfinite(values).all():
            yield f"some of its {what} are no numbers."
        elif what == "levels" and np.abs(values[:, :, 0]).max() > AXIS_WITHIN_DB:
            yield "its level on the axis must be 0 dB in every band."
        elif what == "levels" and values.max() > LOUDEST_DB:
            yield f"its levels must lie at {number(LOUDEST_DB)} dB re the axis at most."
    if balloon.basis == "unknown":
        yield "it must say whether it is measured, from a data sheet or assumed."


def _evenly(angles: Floats) -> bool:
    steps = np.diff(angles)
    return bool(
        len(steps) and np.allclose(steps, steps[0], atol=1e-6) and 0 < steps[0] <= WIDEST_STEP_DEG
    )


def _is_circle(azimuth: Floats) -> bool:
    if len(azimuth) < 2 or not _evenly(azimuth):
        return False
    first, last = float(azimuth[0]), float(azimuth[-1])
    whole = first == 0 and abs(last + float(azimuth[1]) - 360) < 1e-6
    return whole or (first, last) in ((0, 90), (0, 180), (-90, 90))


def _array(values: Any) -> Floats | None:
    """As one array; None when its rows differ in length."""
    try:
        return np.array(values, dtype=np.float64)
    except ValueError:
        return None


def table_of(balloon: Balloon) -> Table:
    """A valid balloon as pressure on the grid, for all computed bands.

    Between the balloon's own angles levels go straight in dB; with phases the complex pressure
    does. A band that the balloon lacks takes the nearest one it has.
    """
    azimuth, pressure = _whole_circle(balloon)
    wanted = azimuth_grid_deg()
    if balloon.phase_deg:
        turned = _along(pressure, np.array(balloon.polar_deg), polar_grid_deg(), 2)
        full = _along(turned, azimuth, wanted, 1)
    else:
        level = 20 * np.log10(np.maximum(np.abs(pressure), 10 ** (FLOOR_DB / 20)))
        turned = _along(level, np.array(balloon.polar_deg), polar_grid_deg(), 2)
        full = 10 ** (_along(turned, azimuth, wanted, 1) / 20)
    return full[_nearest_bands(balloon)].astype(np.complex64)


def _whole_circle(balloon: Balloon) -> tuple[Floats, Complex]:
    """Azimuths from 0 to 360 inclusive, and the pressure at them."""
    azimuth = np.array(balloon.azimuth_deg)
    level = np.array(balloon.level_db)
    pressure = (10 ** (level / 20)).astype(np.complex128)
    if balloon.phase_deg:
        pressure *= np.exp(1j * np.radians(np.array(balloon.phase_deg)))
    if azimuth[-1] == 90:  # mirrored to the left
        right = azimuth if azimuth[0] == 0 else azimuth[1:-1]
        source = slice(None) if azimuth[0] == 0 else slice(1, -1)
        azimuth = np.concatenate([azimuth, 180 - right])
        pressure = np.concatenate([pressure, pressure[:, source]], axis=1)
    if azimuth.min() >= 0 and azimuth.max() == 180:  # mirrored downwards
        azimuth = np.concatenate([azimuth, 360 - azimuth])
        pressure = np.concatenate([pressure, pressure], axis=1)
    kept, first = np.unique(np.round(azimuth % 360, 6), return_index=True)
    pressure = pressure[:, first]
    return np.append(kept, 360.0), np.concatenate([pressure, pressure[:, :1]], axis=1)


def _along(values: NDArray[Any], have: Floats, want: Floats, axis: int) -> NDArray[Any]:
    """Linear interpolation along one axis."""
    place = np.interp(want, have, np.arange(len(have)))
    low = np.minimum(place.astype(int), max(len(have) - 2, 0))
    high = np.minimum(low + 1, len(have) - 1)
    shape = [1] * values.ndim
    shape[axis] = -1
    share = (place - low).reshape(shape)
    below, above = np.take(values, low, axis), np.take(values, high, axis)
    return below + (above - below) * share


def _nearest_bands(balloon: Balloon) -> NDArray[np.intp]:
    have, want = np.log(np.array(balloon.band_hz)), np.log(bands.mid_bands_hz())
    return np.abs(want[:, None] - have).argmin(axis=1)
