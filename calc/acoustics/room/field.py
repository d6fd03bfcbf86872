"""Direct against reverberant sound at every point, source by source, in octaves."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.air import speed_of_sound
from calc.acoustics.directivity.index import table_index_db
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource
from calc.acoustics.room.decay import CRITICAL
from calc.acoustics.room.speech import MODULATION_HZ, decay_transfer
from calc.system import Surroundings

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RoomField:
    """Sound at points, in (20 uPa)^2 per octave, every line at full drive.

    `direct` (points, 7); `reverberant` (7,), alike everywhere; `arrivals` (points, 7, 14) the
    complex modulation of the direct sound: each source's energy, turned by its time of arrival
    after the first.
    """

    direct: Floats
    reverberant: Floats
    arrivals: NDArray[np.complex128]

    def modulation(self, decay_s: Floats) -> Floats:
        """What is left of the modulation without noise, (points, 7, 14)."""
        late = self.reverberant[:, None] * decay_transfer(decay_s)
        total = self.direct + self.reverberant
        left: Floats = np.abs(self.arrivals + late) / np.maximum(total, 1e-30)[..., None]
        return np.minimum(left, 1.0)


def power_and_q(sources: Sequence[PointSource]) -> tuple[Floats, Floats]:
    """On-axis energy at 1 m over Q, summed over the sources, and Q of all together, (7,) each.

    A source's energy on the axis over its Q is the energy that its power would give all round.
    """
    axis = np.zeros(len(bands.OCTAVES))
    around = np.zeros(len(bands.OCTAVES))
    indices: dict[int, Floats] = {}
    for source in sources:
        key = id(source.table)
        if key not in indices:
            indices[key] = 10 ** (table_index_db(source.table) / 10)
        energy = (np.abs(source.gain) ** 2).reshape(-1, bands.LINES_PER_BAND).sum(axis=1)
        axis += bands.by_octave(energy)
        around += bands.by_octave(energy / indices[key])
    with np.errstate(invalid="ignore"):
        return around, np.where(around > 0, axis / np.where(around > 0, around, 1), np.nan)


def room_field(
    sources: Sequence[PointSource],
    points: Floats,
    air: Surroundings,
    volume_m3: float,
    decay_s: Floats,
) -> RoomField:
    """Direct and reverberant sound, by energy between all sources.

    Reverberant: at the critical distance 0.057 sqrt(Q V / T) it equals the direct sound on the
    axis, so that it is (power all round) x T / (0.057^2 V).
    """
    speed = speed_of_sound(air.temperature_c)
    times = [_times(source, points, speed) for source in sources]
    first = np.min(times, axis=0)
    direct = np.zeros((len(points), len(bands.OCTAVES)))
    arrivals = np.zeros((*direct.shape, len(MODULATION_HZ)), dtype=np.complex128)
    for source, time in zip(sources, times, strict=True):
        energy = bands.by_octave(band_energy([source], points, air, 0.0))
        turn = np.exp(-2j * np.pi * np.multiply.outer(time - first, MODULATION_HZ))
        direct += energy
        arrivals += energy[:, :, None] * turn[:, None, :]
    around, _ = power_and_q(sources)
    return RoomField(direct, around * decay_s / (CRITICAL**2 * volume_m3), arrivals)


def _times(source: PointSource, points: Floats, speed: float) -> Floats:
    """Arrival in s after the signal left the processor's input."""
    offset = points - np.array(source.position_m)
    time: Floats = np.sqrt((offset**2).sum(axis=1)) / speed + source.delay_s
    return time
