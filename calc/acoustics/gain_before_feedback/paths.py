"""How strongly every sounding way reaches a set of points, in the octaves of a voice."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.field.energy import NEPER_DB
from calc.acoustics.field.kernel import Medium, coherent_field
from calc.acoustics.field.source import stacked
from calc.acoustics.sources import Drawn
from calc.system import Surroundings

OCTAVES_HZ = (250, 500, 1000, 2000, 4000)
"""Below, a voice's channel is cut; above, air and directivity keep feedback away. CP."""

_THIRDS = range(-7, 8)
_BANDS = slice(_THIRDS.start - bands.LOWEST, _THIRDS.stop - bands.LOWEST)
LINES = slice(_BANDS.start * bands.LINES_PER_BAND, _BANDS.stop * bands.LINES_PER_BAND)

Complex = NDArray[np.complex64]
Floats = NDArray[np.float64]
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Grouping:
    """Which ways add in phase, and below which line all of them do.

    `groups` (groups, ways) holds 1 where a way belongs to a group.
    """

    groups: NDArray[np.float32]
    all_below: int

    @classmethod
    def of(cls, drawn: Iterable[Drawn], coherent_below_hz: float) -> "Grouping":
        """The grouping of the map."""
        names = [item.source.group for item in drawn]
        different = list(dict.fromkeys(names))
        middles = np.array([bands.exact_hz(number) for number in _THIRDS])
        return cls(
            np.array([[name == group for name in names] for group in different], dtype=np.float32),
            int((middles < coherent_below_hz).sum()) * bands.LINES_PER_BAND,
        )

    def energy(self, pressure: Complex) -> Floats:
        """Energy per octave, (5,), of pressures (ways, lines)."""
        by_group = np.abs(self.groups @ pressure) ** 2
        energy = by_group.sum(axis=0).astype(np.float64)
        energy[: self.all_below] = np.abs(pressure[:, : self.all_below].sum(axis=0)) ** 2
        return per_octave(energy)


def per_octave(lines: Floats) -> Floats:
    """Energies of the 45 lines (last axis) summed to the five octaves."""
    whole: Floats = lines.reshape(*lines.shape[:-1], len(OCTAVES_HZ), -1).sum(axis=-1)
    return whole


def plays_voice(item: Drawn) -> bool:
    """Whether a way plays anything from 180 Hz to 5.6 kHz."""
    return bool(np.any(item.source.gain[LINES]))


def pressures(
    drawn: Iterable[Drawn], points: Iterable[Point], air: Surroundings
) -> Mapping[Point, Complex]:
    """Pressure of every way at every point, (ways, 45 lines) in 20 uPa, each line at full drive."""
    sources, wanted = [item.source for item in drawn], list(dict.fromkeys(points))
    if not wanted:
        return {}
    middles = np.array([bands.exact_hz(number) for number in _THIRDS])
    medium = Medium(
        bands.lines_of(_THIRDS),
        (loss_db_per_m(middles, air) / NEPER_DB).astype(np.float32),
        speed_of_sound(air.temperature_c),
    )
    stack, at = stacked(sources, _BANDS, LINES), np.array(wanted, dtype=np.float64)
    each = np.stack(
        [coherent_field(stack.part(slice(n, n + 1)), at, medium) for n in range(len(sources))]
    )
    return {point: each[:, :, number] for number, point in enumerate(wanted)}
