"""What the listening spots hear: their average, how far they differ, and where to believe it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.equalise.excess import runs_away
from calc.signals.equalise.peaks import Floats
from calc.signals.measuring.levels import BandLevels
from calc.signals.measuring.transfer import Transfer, banded

PER_OCTAVE = 12
POINTS = 120
MIDS_HZ = (200.0, 4000.0)
"""Hz. A spot's own level is that over these: distance must not weigh. Own choice."""

FEWEST_KNOWN = 0.5
"""1. Share of the spots' weight that must be known at a place."""

Flags = NDArray[np.bool_]


def grid_hz() -> Floats:
    """Where everything is compared: twelve places to the octave, 20 Hz to 19.3 kHz, (120,)."""
    grid: Floats = 20 * 2 ** (np.arange(POINTS) / PER_OCTAVE)
    return grid


@dataclass(frozen=True, slots=True)
class SpotResponse:
    """What one spot hears, on `grid_hz`; None where it can't be believed.

    `weight` above 0: how much of the audience it stands for. `excess` tells where the phase runs
    away from the least one that the level allows (None: no phase is known): no filter mends a dip
    there.
    """

    name: str
    level_db: tuple[float | None, ...]
    weight: float = 1.0
    excess: tuple[bool, ...] | None = None

    def __post_init__(self) -> None:
        if len(self.level_db) != POINTS or (self.excess and len(self.excess) != POINTS):
            raise ValueError(f"a spot has {POINTS} levels, one for each place of the grid")
        if not self.weight > 0:
            raise ValueError("a spot's weight lies above 0")


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """The spots together: each (spots, 120), or (120,).

    Levels are re each spot's own level over the mids; `known` where a spot can be believed.
    `spread_db` is the standard deviation between spots; 0 for one.
    """

    level_db: Floats
    known: Flags
    average_db: Floats
    enough: Flags
    spread_db: Floats
    excess: Flags


def spot_of(name: str, found: Transfer, weight: float = 1.0) -> SpotResponse:
    """A spot from its transfer function; places of low coherence are not believed."""
    bands = banded(found, grid_hz(), PER_OCTAVE)
    level = tuple(
        value if ok else None for value, ok in zip(bands.level_db, bands.usable, strict=True)
    )
    return SpotResponse(name, level, weight, tuple(runs_away(bands).tolist()))


def spot_of_levels(name: str, found: BandLevels, weight: float = 1.0) -> SpotResponse:
    """A spot from third-octave levels of pink noise, drawn straight between the bands."""
    pairs = zip(found.frequency_hz, found.level_db, strict=True)
    known = [(hz, level) for hz, level in pairs if level is not None]
    if len(known) < 2:
        raise ValueError("these levels hold no band that could be equalised")
    hz, level = (np.array(side) for side in zip(*known, strict=True))
    grid = grid_hz()
    drawn = np.interp(np.log(grid), np.log(hz), level)
    inside = (grid >= hz[0] * 0.89) & (grid <= hz[-1] * 1.13)
    return SpotResponse(
        name,
        tuple(float(v) if ok else None for v, ok in zip(drawn, inside, strict=True)),
        weight,
    )


def together(spots: Sequence[SpotResponse]) -> Heard:
    """Weighted power average of spots, each taken re its own level over the mids.

    Raises
    ------
    ValueError
        No spot, or one that is unknown over all of the mids.
    """
    if not spots:
        raise ValueError("measure one listening spot at least")
    level = np.array(
        [[math.nan if v is None else v for v in spot.level_db] for spot in spots], dtype=np.float64
    )
    known = np.isfinite(level)
    grid = grid_hz()
    mids = (grid >= MIDS_HZ[0]) & (grid <= MIDS_HZ[1])
    for row, spot in enumerate(spots):
        if not (known[row] & mids).any():
            raise ValueError(f"{spot.name} hears nothing to believe from 200 Hz to 4 kHz")
        level[row] -= level[row, known[row] & mids].mean()
    weight = np.array([spot.weight for spot in spots])[:, None] * known
    total = weight.sum(axis=0)
    filled = np.where(known, level, 0.0)
    shares = weight / np.maximum(total, 1e-12)
    with np.errstate(divide="ignore"):
        average = 10 * np.log10((shares * 10 ** (filled / 10)).sum(axis=0))
    mean = (shares * filled).sum(axis=0)
    spread = np.sqrt((shares * (filled - mean) ** 2).sum(axis=0))
    enough = total >= FEWEST_KNOWN * sum(spot.weight for spot in spots)
    excess: Flags = np.any([spot.excess or (False,) * POINTS for spot in spots] & known, axis=0)
    return Heard(level, known, np.where(total > 0, average, math.nan), enough, spread, excess)
