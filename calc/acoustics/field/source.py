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

    `axes` (3, sources, 3) holds all that look ahead, then right, then up; `origin` (3, sources)
    is where a source stands along its own axes. `tables` (tables x azimuths x polars, 2 x bands)
    float32 holds real and imaginary parts in turn, azimuths from -180 to 180 as an arctangent
    tells them; `first` (sources,) is where a source's table starts in it. `gain` (lines, sources).
    """

    axes: Floats
    origin: Floats
    tables: NDArray[np.float32]
    first: NDArray[np.int32]
    gain: NDArray[np.complex64]
    delay: Floats

    def __len__(self) -> int:
        return len(self.delay)

    def part(self, wanted: slice) -> "Stack":
        """Some of the sources."""
        return Stack(
            np.ascontiguousarray(self.axes[:, wanted]),
            self.origin[:, wanted],
            self.tables,
            self.first[wanted],
            np.ascontiguousarray(self.gain[:, wanted]),
            self.delay[wanted],
        )


def stacked(sources: Sequence[PointSource], bands: slice, lines: slice) -> Stack:
    """Stack sources for a run of bands and the lines in them."""
    different = {id(source.table): source.table for source in sources}
    size = AZIMUTH_ROWS * POLARS
    start = {key: place * size for place, key in enumerate(different)}
    axes = np.array([source.axes for source in sources], dtype=np.float64).transpose(1, 0, 2)
    position = np.array([source.position_m for source in sources], dtype=np.float64)
    return Stack(
        axes,
        np.einsum("isj,sj->is", axes, position),
        _flat([table[bands] for table in different.values()]),
        np.array([start[id(source.table)] for source in sources], dtype=np.int32),
        np.array([source.gain[lines] for source in sources], dtype=np.complex64).T,
        np.array([source.delay_s for source in sources], dtype=np.float64),
    )


def _flat(tables: Sequence[Table]) -> NDArray[np.float32]:
    """Tables one below the other, each direction's bands side by side, azimuths from -180."""
    half = AZIMUTHS // 2
    flat = np.empty((len(tables), AZIMUTH_ROWS, POLARS, len(tables[0])), dtype=np.complex64)
    for into, table in zip(flat, tables, strict=True):
        turned = table.transpose(1, 2, 0)
        into[:half], into[half:] = turned[half:-1], turned[: half + 1]
    return flat.reshape(-1, flat.shape[-1]).view(np.float32)
