"""Point sources with directivity, and how they are stacked for the arithmetic."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.directivity.table import AZIMUTHS, POLARS, Table

Floats = NDArray[np.float64]

AZIMUTH_ROWS = AZIMUTHS + 1


@dataclass(frozen=True, slots=True)
class PointSource:
    """One source of the field.

    Attributes
    ----------
    position_m : (3,)
    axes : (3, 3)
        Unit vectors of its own frame: ahead, to its right, up.
    table : (bands, azimuths, polars) complex64
        Pressure re the axis, see `calc.acoustics.directivity.table`.
    gain : (lines,) complex
        Pressure on the axis at 1 m in each line, in 20 uPa: level, filters and polarity. The
        sum of its squared magnitudes over a band's lines is the band's energy.
    delay_s : float
    group : str
        Sources of one group add in phase, groups add by energy.
    """

    position_m: tuple[float, float, float]
    axes: Floats
    table: Table
    gain: NDArray[np.complex128]
    delay_s: float = 0.0
    group: str = ""


def axes_of(azimuth_deg: float, tilt_deg: float, roll_deg: float = 0.0) -> Floats:
    """Ahead, right and up of a box, (3, 3), for its aim.

    Azimuth 0 looks along y and grows clockwise seen from above, tilt is positive upwards, roll
    turns the box clockwise about its aim as seen from behind (its right side goes down).
    """
    azimuth, tilt, roll = (math.radians(angle) for angle in (azimuth_deg, tilt_deg, roll_deg))
    sin_a, cos_a, sin_t, cos_t = (
        math.sin(azimuth), math.cos(azimuth), math.sin(tilt), math.cos(tilt)
    )  # fmt: skip
    ahead = np.array([sin_a * cos_t, cos_a * cos_t, sin_t])
    right = np.array([cos_a, -sin_a, 0.0])
    up = np.array([-sin_a * sin_t, -cos_a * sin_t, cos_t])
    cos_r, sin_r = math.cos(roll), math.sin(roll)
    return np.array([ahead, cos_r * right - sin_r * up, sin_r * right + cos_r * up])


@dataclass(frozen=True, slots=True)
class Stack:
    """Many sources as arrays; equal tables are held once.

    `tables` (tables x azimuths x polars, 2 x bands) float32 holds real and imaginary parts in
    turn; `first` (sources,) is where a source's table starts in it. `gain` (lines, sources).
    """

    position: Floats
    axes: Floats
    tables: NDArray[np.float32]
    first: NDArray[np.int32]
    gain: NDArray[np.complex64]
    delay: Floats

    def __len__(self) -> int:
        return len(self.position)

    def part(self, wanted: slice) -> "Stack":
        """Some of the sources."""
        return Stack(
            self.position[wanted],
            self.axes[wanted],
            self.tables,
            self.first[wanted],
            np.ascontiguousarray(self.gain[:, wanted]),
            self.delay[wanted],
        )


def stacked(sources: Sequence[PointSource], bands: slice, lines: slice) -> Stack:
    """Stack sources for a run of bands and the lines in them."""
    different = {id(source.table): source.table for source in sources}
    size = AZIMUTH_ROWS * POLARS
    tables = np.empty((len(different), size, bands.stop - bands.start), dtype=np.complex64)
    for flat, table in zip(tables, different.values(), strict=True):
        flat[:] = table[bands].reshape(-1, size).T
    start = {key: place * size for place, key in enumerate(different)}
    return Stack(
        np.array([source.position_m for source in sources], dtype=np.float64),
        np.array([source.axes for source in sources], dtype=np.float64),
        tables.reshape(len(different) * size, -1).view(np.float32),
        np.array([start[id(source.table)] for source in sources], dtype=np.int32),
        np.array([source.gain[lines] for source in sources]).T.astype(np.complex64),
        np.array([source.delay_s for source in sources], dtype=np.float64),
    )
