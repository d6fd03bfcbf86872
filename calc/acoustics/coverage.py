"""Direct sound over the audience areas, in figures and maps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.geometry import Grid, grid_over
from calc.acoustics.weighting import a_weighting_db
from calc.prediction import AreaResult
from calc.system import AudienceArea

SILENCE_DB = 0.0
"""Written where nothing arrives: the threshold of hearing."""

WITHIN_DB = 3.0

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class AreaGrid:
    """An area with its points inside, (n, 3), in the order of its grid."""

    area: AudienceArea
    grid: Grid
    points: Floats

    @property
    def cell_m2(self) -> float:
        """Surface that one point stands for, seen from above."""
        x, y = self.grid.x, self.grid.y
        width = x[1] - x[0] if len(x) > 1 else 1.0
        return float(width * (y[1] - y[0] if len(y) > 1 else 1.0))


def area_grid(area: AudienceArea, spacing_m: float) -> AreaGrid:
    """The listening points of an area; there may be none."""
    grid = grid_over(area, spacing_m)
    return AreaGrid(area, grid, grid.points())


def level_db(energy: Floats) -> Floats:
    """Level of energies re (20 uPa)^2, never below silence."""
    level: Floats = 10 * np.log10(np.maximum(energy, 10 ** (SILENCE_DB / 10)))
    return level


def a_weighted(energy: Floats) -> Floats:
    """A-weighted sum over the bands (the last axis)."""
    weighted: Floats = energy @ 10 ** (a_weighting_db(bands.mid_bands_hz()) / 10)
    return weighted


def area_result(place: AreaGrid, energy: Floats, present: Floats | None = None) -> AreaResult:
    """Figures and maps of one area with at least one point.

    Parameters
    ----------
    energy : (points, bands)
        With every line at full drive, in (20 uPa)^2.
    present : (points, bands), optional
        With the programme at the event's level; None where that is unknown.
    """
    grid, points = place.grid, place.points
    weighted = a_weighted(energy)
    a, z = level_db(weighted), level_db(energy.sum(axis=1))
    mid = level_db(energy[:, bands.MIDS].sum(axis=1))
    loudest, quietest = int(a.argmax()), int(a.argmin())
    mean_mid = float(mid.mean())
    worst = int(np.abs(mid - mean_mid).argmax())
    per_band = level_db(energy)
    now = None if present is None else a_weighted(present)
    return AreaResult(
        name=place.area.name,
        x_m=tuple(grid.x.tolist()),
        y_m=tuple(grid.y.tolist()),
        level_a_db=rows(grid, a),
        level_z_db=rows(grid, z),
        level_mid_db=rows(grid, mid),
        mean_a_db=mean_level(weighted),
        loudest_a_db=float(a[loudest]),
        loudest_at_m=_spot(points, loudest),
        quietest_a_db=float(a[quietest]),
        quietest_at_m=_spot(points, quietest),
        mean_mid_db=mean_mid,
        spread_mid_db=float(mid.max() - mid.min()),
        share_within_3_db=float(np.mean(np.abs(mid - mean_mid) <= WITHIN_DB)),
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        mean_spectrum_db=tuple(level_db(energy.mean(axis=0)).tolist()),
        kind=place.area.kind,
        mean_z_db=mean_level(energy.sum(axis=1)),
        front_to_back_db=_front_to_back(points, mid),
        worst_at_m=_spot(points, worst),
        worst_off_db=float(mid[worst] - mean_mid),
        band_mean_db=tuple(per_band.mean(axis=0).tolist()),
        band_spread_db=tuple(np.ptp(per_band, axis=0).tolist()),
        band_share_within_3=tuple(
            np.mean(np.abs(per_band - per_band.mean(axis=0)) <= WITHIN_DB, axis=0).tolist()
        ),
        present_a_db=() if now is None else rows(grid, level_db(now)),
        mean_present_a_db=None if now is None else mean_level(now),
    )


def mean_level(energy: Floats) -> float:
    """Level of the mean energy."""
    return float(level_db(np.array([energy.mean()]))[0])


def _spot(points: Floats, index: int) -> tuple[float, float]:
    return float(points[index, 0]), float(points[index, 1])


def _front_to_back(points: Floats, mid: Floats) -> float:
    """Mean of the row nearest to the stage less that of the farthest."""
    y = points[:, 1]
    return float(mid[y == y.min()].mean() - mid[y == y.max()].mean())


def mean_over(grids: Sequence[AreaGrid], energies: Sequence[Floats]) -> float | None:
    """A-weighted level of the mean energy over all audience areas, by their surface."""
    total = surface = 0.0
    for place, energy in zip(grids, energies, strict=True):
        if place.area.kind == "audience" and len(energy):
            total += place.cell_m2 * float(a_weighted(energy).sum())
            surface += place.cell_m2 * len(energy)
    if not surface:
        return None
    return max(SILENCE_DB, 10 * math.log10(max(total / surface, 1e-12)))


def rows(grid: Grid, values: Floats) -> tuple[tuple[float | None, ...], ...]:
    """Values of the points inside as rows of y, columns of x; None outside."""
    full = np.full(grid.inside.shape, None, dtype=object)
    full[grid.inside] = values.tolist()
    return tuple(tuple(row) for row in full.tolist())
