"""Maps of one area in every band, at full drive or at the event's level."""

from dataclasses import dataclass
from typing import Literal

from calc.acoustics import bands
from calc.acoustics.answers import Scale, energy_at
from calc.acoustics.coverage import Floats, a_weighted, area_grid, level_db, rows
from calc.acoustics.levels import balance_of
from calc.acoustics.sources import field_of
from calc.check import check_lines
from calc.lookup import Lookup
from calc.system import SystemDescription

Drive = Literal["full", "balanced", "present"]
Rows = tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True)
class AreaMaps:
    """Levels over one area's grid: rows of y, columns of x, None outside of it.

    `level_db` has one map for each of `bands_hz`; `level_a_db` and `level_z_db` sum over all.
    """

    area: str
    drive: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    bands_hz: tuple[float, ...]
    level_db: tuple[Rows, ...]
    level_a_db: Rows
    level_z_db: Rows

    def of(self, frequency_hz: float) -> Rows:
        """The map of the band that holds a frequency.

        Raises
        ------
        ValueError
            No computed band holds it.
        """
        if not 0 < frequency_hz < 1e6 or bands.number_of(frequency_hz) not in bands.band_numbers():
            raise ValueError("the bands reach from 25 Hz to 20 kHz")
        return self.level_db[bands.number_of(frequency_hz) - bands.LOWEST]


def area_maps(system: SystemDescription, area_name: str, drive: Drive = "full") -> AreaMaps:
    """All maps of one area.

    Parameters
    ----------
    drive : {"full", "balanced", "present"}
        Every line at its own limit; the balance as set, turned up until the first line limits;
        the programme at the event's level.

    Raises
    ------
    ValueError
        As `calc.check.check`; an area that is not there; a drive that is unknown.
    """
    area = next((area for area in system.areas if area.name == area_name), None)
    if area is None:
        raise ValueError(f"there is no area '{area_name}'")
    lookup, lines = Lookup.of(system), check_lines(system)
    drawn = field_of(system, lookup, lines).drawn
    scale: Scale = None
    if drive != "full":
        balance = balance_of(system, lookup, lines, drawn)
        scale = balance.balanced() if drive == "balanced" else balance.present()
        if scale is None:
            raise ValueError("the lines' balance or the programme's level is unknown")
    place = area_grid(area, system.choices.grid_spacing_m)
    energy = energy_at(system, drawn, place.points, scale)

    def drawn_map(values: Floats) -> Rows:
        return rows(place.grid, level_db(values))

    return AreaMaps(
        area=area_name,
        drive=drive,
        x_m=tuple(place.grid.x.tolist()),
        y_m=tuple(place.grid.y.tolist()),
        bands_hz=tuple(bands.mid_bands_hz().tolist()),
        level_db=tuple(drawn_map(band) for band in energy.T),
        level_a_db=drawn_map(a_weighted(energy)),
        level_z_db=drawn_map(energy.sum(axis=1)),
    )
