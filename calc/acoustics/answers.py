"""All answers about the sound of a rig, from its drive lines to every listener."""

import dataclasses
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.coverage import (
    AreaGrid,
    a_weighted,
    area_grid,
    area_result,
    level_db,
    mean_over,
)
from calc.acoustics.exposure import exposures
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource
from calc.acoustics.findings import coverage_finding, exposure_finding, target_finding
from calc.acoustics.levels import balance_of, rig_levels
from calc.acoustics.room.answers import room_result
from calc.acoustics.sources import Drawn, Field, field_of
from calc.lookup import Lookup
from calc.prediction import (
    AreaResult,
    Exposure,
    Finding,
    LineResult,
    PlaceResult,
    RigLevels,
    RoomResult,
)
from calc.system import ListeningPlace, SystemDescription

Floats = NDArray[np.float64]
Scale = dict[str, float] | None
"""Per drive line dB re its full drive; None where unknown."""


@dataclass(frozen=True, slots=True)
class Acoustics:
    """What a prediction takes over, and the field it stands on. Fields as in `Prediction`."""

    areas: tuple[AreaResult, ...]
    places: tuple[PlaceResult, ...]
    levels: RigLevels | None
    room: RoomResult | None
    exposures: tuple[Exposure, ...]
    findings: tuple[Finding, ...]
    unchecked: tuple[str, ...]
    field: Field


@dataclass(frozen=True, slots=True)
class Heard:
    """Energy (points, bands) at full drive, balanced, and at the present level."""

    full: Floats
    balanced: Floats | None
    present: Floats | None


def acoustics(
    system: SystemDescription,
    lookup: Lookup,
    lines: tuple[LineResult, ...],
    told: Callable[[str], None],
) -> Acoustics:
    """Work out the sound over areas and at places, telling each area's name before it."""
    field = field_of(system, lookup, lines)
    balance = balance_of(system, lookup, lines, field.drawn)
    scales = balance.balanced(), balance.present()
    grids, heard = [], []
    for area in system.areas if field.drawn else ():
        told(area.name)
        grids.append(area_grid(area, system.choices.grid_spacing_m))
        heard.append(_heard(system, field, grids[-1].points, scales))
    results = {
        grid.area.name: area_result(grid, found.full, found.present) if len(grid.points) else None
        for grid, found in zip(grids, heard, strict=True)
    }
    areas = {area.name: results.get(area.name) for area in system.areas}
    levels = None
    if field.drawn and system.areas:
        means = (_mean(grids, [getattr(h, kind) for h in heard]) for kind in Heard.__slots__)
        levels = rig_levels(system, balance, *means)
    shown = tuple(result for result in areas.values() if result is not None)
    places = _places(system, field, scales)
    return Acoustics(
        areas=shown,
        places=places,
        levels=levels,
        room=room_result(system, field.sources, grids),
        exposures=exposures(system, shown, places, levels),
        findings=_findings(system, areas, field) + _target(system, levels),
        unchecked=field.unchecked + _pointless(areas, field),
        field=field,
    )


def energy_at(
    system: SystemDescription, drawn: Sequence[Drawn], points: Floats, scale: Scale = None
) -> Floats:
    """Energy at points (n, 3), (n, bands); `scale` turns the lines down from full drive."""
    sources = [scaled(item, scale) for item in drawn]
    return band_energy(sources, points, system.surroundings, system.choices.coherent_below_hz)


def scaled(item: Drawn, scale: Scale) -> PointSource:
    """A source with its line turned down from full drive."""
    if scale is None:
        return item.source
    factor = 10 ** (scale[item.line] / 20)
    return dataclasses.replace(item.source, gain=item.source.gain * factor)


def _heard(
    system: SystemDescription, field: Field, points: Floats, scales: tuple[Scale, Scale]
) -> Heard:
    balanced, present = (
        None if scale is None else energy_at(system, field.drawn, points, scale) for scale in scales
    )
    return Heard(energy_at(system, field.drawn, points), balanced, present)


def _mean(grids: Sequence[AreaGrid], energies: Sequence[Floats | None]) -> float | None:
    known = [energy for energy in energies if energy is not None]
    return mean_over(grids, known) if len(known) == len(grids) else None


def _places(
    system: SystemDescription, field: Field, scales: tuple[Scale, Scale]
) -> tuple[PlaceResult, ...]:
    if not system.places or not field.drawn:
        return ()
    points = np.array([(place.x_m, place.y_m, place.z_m) for place in system.places])
    heard = _heard(system, field, points, scales)
    now = None if heard.present is None else level_db(a_weighted(heard.present))
    return tuple(
        _place(place, heard.full[index], None if now is None else float(now[index]))
        for index, place in enumerate(system.places)
    )


def _place(place: ListeningPlace, energy: Floats, present: float | None) -> PlaceResult:
    sums = level_db(np.array([a_weighted(energy), energy.sum()]))
    return PlaceResult(
        name=place.name,
        kind=place.kind,
        at_m=(place.x_m, place.y_m, place.z_m),
        level_a_db=float(sums[0]),
        level_z_db=float(sums[1]),
        present_a_db=present,
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        spectrum_db=tuple(level_db(energy).tolist()),
    )


def _findings(
    system: SystemDescription, areas: dict[str, AreaResult | None], field: Field
) -> tuple[Finding, ...]:
    found: list[Finding] = []
    for area in system.areas:
        if area.kind == "audience":
            result = areas[area.name]
            found.append(coverage_finding(area.name, result, field))
            found.append(exposure_finding(area.name, result, field))
    return tuple(found)


def _target(system: SystemDescription, levels: RigLevels | None) -> tuple[Finding, ...]:
    """Only where a show is described and something can be said."""
    if system.show is None or levels is None:
        return ()
    return (target_finding(levels, system.show.target_dba.value),)


def _pointless(areas: dict[str, AreaResult | None], field: Field) -> tuple[str, ...]:
    if not field.drawn:
        return ()
    return tuple(
        f"Area {name}: no point of the map's grid lies inside of it. Choose a finer grid."
        for name, result in areas.items()
        if result is None
    )
