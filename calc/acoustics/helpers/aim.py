"""Aim and trim: a bounded search for the most even coverage.

A compass search: each freedom in turn is tried one step up and one step down, what is better is
kept, and when nothing is, the steps are halved. Same description and freedoms, same proposal.

Boxes that look away from everybody are even too. So 1 dB of lost level counts as a quarter of a
decibel of deviation (own choice, no source).
"""

import dataclasses
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.answers import scaled
from calc.acoustics.coverage import WITHIN_DB, AreaGrid, area_grid, level_db
from calc.acoustics.field.energy import band_energy
from calc.acoustics.geometry import polygon_area_m2
from calc.acoustics.helpers.moves import Change, Freedom, changes_of, faults, moved, together
from calc.acoustics.levels import balance_of
from calc.acoustics.sources import Drawn, field_of
from calc.check import check_lines
from calc.lookup import Lookup
from calc.system import SystemDescription

POINTS = 400
"""So many points at most stand for all audience areas while searching."""

MOST_TRIALS = 400
SMALLEST = {"azimuth_deg": 0.5, "tilt_deg": 0.25, "z_m": 0.05, "level_db": 0.25, "delay_ms": 0.05}
"""Finer steps than these nobody sets."""

LEVEL_COUNTS = 0.25
OCTAVES = slice(0, 6)
"""125 Hz to 4 kHz: where evenness is judged."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Evenness:
    """How even the audience areas are together.

    `deviation_db` is the root mean square over the octaves 125 Hz to 4 kHz of the level's
    deviation from its mean over the points. `spread_mid_db` and
    `share_within_3_db` as in `AreaResult`, over all areas; `mean_mid_db` the mean level, turned
    up until the first line limits.
    """

    deviation_db: float
    spread_mid_db: float
    share_within_3_db: float
    mean_mid_db: float

    @property
    def cost(self) -> float:
        """What the search makes small, in dB."""
        return self.deviation_db - LEVEL_COUNTS * self.mean_mid_db


@dataclass(frozen=True, slots=True)
class Proposal:
    """Before and after, and the changes that lead there. Nothing is applied.

    `trials` counts the rigs tried; `complete` is False when the search stopped at its limit.
    `remarks` say what moves along, as one processor output feeds several lines.
    """

    before: Evenness
    after: Evenness
    changes: tuple[Change, ...]
    trials: int
    complete: bool
    remarks: tuple[str, ...] = ()


def aim_and_trim(
    system: SystemDescription,
    freedoms: Sequence[Freedom],
    progress: Callable[[int, int], None] | None = None,
) -> Proposal:
    """Search for the most even coverage of all audience areas.

    Parameters
    ----------
    progress : callable, optional
        Called as `progress(trials, most)`; what it raises stops the search.

    Raises
    ------
    ValueError
        As `calc.check.check`; freedoms that lead nowhere; no audience area; nothing to draw.
    """
    problems = faults(system, freedoms)
    if problems:
        raise ValueError("; ".join(problems))
    search = _Search(system, freedoms, progress)
    best = [0.0] * len(freedoms)
    before = lowest = search.tried(best)
    steps = [max(freedom.less, freedom.more) / 2 for freedom in freedoms]
    while search.left and search.still_coarse(steps):
        found = search.round(best, steps, lowest)
        if found is None:
            steps = [step / 2 for step in steps]
        else:
            best, lowest = found
    changes = tuple(changes_of(system, freedoms, best))
    remarks = together(system, freedoms)
    return Proposal(before, lowest, changes, search.trials, bool(search.left), remarks)


class _Search:
    """The rig that is tried, and how many trials are left."""

    def __init__(
        self,
        system: SystemDescription,
        freedoms: Sequence[Freedom],
        progress: Callable[[int, int], None] | None,
    ) -> None:
        self.system, self.freedoms, self.progress = system, freedoms, progress
        self.trials = 0
        self.drawn, self.scale = drawn_in_balance(system)
        if not self.drawn:
            raise ValueError("no box can be drawn: complete the data sheets and the lines")
        grids = _coarse(system)
        self.points = np.concatenate([grid.points for grid in grids])
        weights = np.concatenate([np.full(len(g.points), g.cell_m2) for g in grids])
        self.weights = weights / weights.sum()

    @property
    def left(self) -> int:
        return max(0, MOST_TRIALS - self.trials)

    def still_coarse(self, steps: Sequence[float]) -> bool:
        """Whether any step is one that somebody would set."""
        pairs = zip(steps, self.freedoms, strict=True)
        return any(step >= SMALLEST[freedom.quantity] for step, freedom in pairs)

    def round(
        self, best: list[float], steps: Sequence[float], lowest: Evenness
    ) -> tuple[list[float], Evenness] | None:
        """Each freedom once up and once down; None when nothing was better."""
        start = best
        for index, freedom in enumerate(self.freedoms):
            for step in (steps[index], -steps[index]):
                tried = list(best)
                tried[index] = min(freedom.more, max(-freedom.less, best[index] + step))
                if tried == best or not self.left:
                    continue
                found = self.tried(tried)
                if found.cost < lowest.cost - 1e-6:
                    best, lowest = tried, found
                    break
        return None if best is start else (best, lowest)

    def tried(self, steps: Sequence[float]) -> Evenness:
        """The rig after steps, one for each freedom."""
        self.trials += 1
        if self.progress is not None:
            self.progress(self.trials, MOST_TRIALS)
        changes = changes_of(self.system, self.freedoms, steps)
        energy = band_energy(
            moved(self.drawn, self.system, changes),
            self.points,
            self.system.surroundings,
            self.system.choices.coherent_below_hz,
        )
        return evenness(energy * self._turned_up(changes), self.weights)

    def _turned_up(self, changes: Sequence[Change]) -> float:
        """How much energy is won by turning the trimmed rig up until a line limits again."""
        trims = {change.name: change.after for change in changes if change.quantity == "level_db"}
        highest = max(level + trims.get(line, 0.0) for line, level in self.scale.items())
        return float(10 ** (-highest / 10))


def evenness(energy: Floats, weights: Floats) -> Evenness:
    """Evenness of energies (points, bands); the weights of the points sum to 1."""
    level = level_db(bands.by_octave(energy)[:, OCTAVES])
    off = level - weights @ level
    mid = level_db(energy[:, bands.MIDS].sum(axis=1))
    mean = float(weights @ mid)
    return Evenness(
        deviation_db=math.sqrt(float((weights @ off**2).mean())),
        spread_mid_db=float(np.ptp(mid)),
        share_within_3_db=float(weights[np.abs(mid - mean) <= WITHIN_DB].sum()),
        mean_mid_db=mean,
    )


def drawn_in_balance(system: SystemDescription) -> tuple[list[Drawn], dict[str, float]]:
    """The sources with the balance between the lines as set; unknown: each at full drive.

    Returns
    -------
    (drawn, scale)
        `scale` is each sounding line's level in dB re its full drive, the highest is 0.
    """
    lookup, lines = Lookup.of(system), check_lines(system)
    drawn = field_of(system, lookup, lines).drawn
    scale = balance_of(system, lookup, lines, drawn).balanced()
    if scale is None:
        return list(drawn), {item.line: 0.0 for item in drawn}
    return [dataclasses.replace(item, source=scaled(item, scale)) for item in drawn], scale


def _coarse(system: SystemDescription) -> list[AreaGrid]:
    areas = [area for area in system.areas if area.kind == "audience"]
    surface = sum(polygon_area_m2(area.corners) for area in areas)
    spacing = max(system.choices.grid_spacing_m, math.sqrt(surface / POINTS))
    grids = [area_grid(area, spacing) for area in areas]
    grids = [grid for grid in grids if len(grid.points)]
    if not grids:
        raise ValueError("there is no audience area to make even")
    return grids
