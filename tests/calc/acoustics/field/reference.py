"""The same field, written plainly: a loop over sources and lines in complex128.

It shares nothing with the fast one but the meaning of its inputs: directions come from
`arccos` and `atan2` of the offset itself, directivity from four corners, phase from one
exponential for each line.
"""

import math

import numpy as np

from calc.acoustics import bands
from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.field.source import PointSource
from calc.system import Surroundings


def reference_energy(
    sources: list[PointSource],
    points: np.ndarray,
    air: Surroundings,
    coherent_below_hz: float,
) -> np.ndarray:
    """(points, bands) in (20 uPa)^2."""
    numbers = bands.band_numbers()
    speed = speed_of_sound(air.temperature_c)
    energy = np.zeros((len(points), len(numbers)))
    for band, number in enumerate(numbers):
        middle = 1000 * 10 ** (number / 10)
        loss = loss_db_per_m(np.array([middle]), air)[0]
        for third in (-1, 0, 1):
            hz = 1000 * 2 ** ((3 * number + third) / 9)
            line = 3 * band + third + 1
            sums: dict[str, np.ndarray] = {}
            for source in sources:
                group = "all" if middle < coherent_below_hz else source.group
                pressure = np.array(
                    [_pressure(source, p, band, line, hz, loss, speed) for p in points]
                )
                sums[group] = sums.get(group, 0) + pressure
            energy[:, band] += sum(np.abs(s) ** 2 for s in sums.values())
    return energy


def _pressure(
    source: PointSource, point: np.ndarray, band: int, line: int, hz: float, loss: float, c: float
) -> complex:
    offset = point - np.array(source.position_m)
    r = math.sqrt(float(offset @ offset))
    ahead, right, up = (float(axis @ offset) / r if r else 1.0 for axis in source.axes)
    polar = math.degrees(math.acos(max(-1.0, min(1.0, ahead)))) / 5
    azimuth = math.degrees(math.atan2(up, right)) % 360 / 5
    i, j = min(int(azimuth), 71), min(int(polar), 35)
    u, v = azimuth - i, polar - j
    t = source.table[band].astype(np.complex128)
    shape = (
        (1 - u) * (1 - v) * t[i, j]
        + (1 - u) * v * t[i, j + 1]
        + u * (1 - v) * t[i + 1, j]
        + u * v * t[i + 1, j + 1]
    )
    far = max(r, 0.5)
    air = 10 ** (-loss * far / 20)
    turn = np.exp(-2j * math.pi * hz * (r / c + source.delay_s))
    return complex(source.gain[line] * shape * air * turn / far)
