"""An array's figures, band by band: what is lost ahead, what goes behind and to the stage."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.geometry import NEAREST_M
from calc.signals.arrays.answers import ArrayBand
from calc.signals.arrays.sums import Elements, band_power, direction_of, lines_in, near_sum

FLOOR_DB = -60.0
BEHIND_DEG = 30
WITHIN_DB = 6.0

Floats = NDArray[np.float64]


def bands_of(
    elements: Elements,
    power: Floats,
    angles: Floats,
    aim_deg: float,
    radius_m: float | None,
    stage_m: tuple[float, float, float] | None,
    bands_hz: Sequence[float],
    speed: float,
) -> Iterator[ArrayBand]:
    """Each band's figures from the power (angles, bands) all round, `angles` from the aim."""
    best = _in_phase_power(elements, aim_deg, radius_m)
    stage = None if stage_m is None else _stage_db(elements, stage_m, aim_deg, bands_hz, speed)
    behind = np.abs(angles - 180) <= BEHIND_DEG
    for index, hz in enumerate(bands_hz):
        forward = max(float(power[0, index]), 1e-12)
        yield ArrayBand(
            band_hz=hz,
            forward_loss_db=max(0.0, float(-decibels(forward / best))),
            behind_db=float(decibels(power[behind, index].max() / forward)),
            stage_db=None if stage is None else float(stage[index]),
            opening_deg=_opening_deg(decibels(power[:, index] / forward)),
        )


def _in_phase_power(elements: Elements, aim_deg: float, radius_m: float | None) -> float:
    """What all boxes would give along the aim if they arrived there in phase, re one (at 1 m)."""
    if radius_m is None:
        return float(len(elements.sign) ** 2)
    point = elements.middle + direction_of(aim_deg) * radius_m
    away = np.linalg.norm(point - elements.position_m, axis=1)
    return float(np.sum(1 / np.maximum(away, NEAREST_M)) ** 2)


def _stage_db(
    elements: Elements,
    stage_m: tuple[float, float, float],
    aim_deg: float,
    bands_hz: Sequence[float],
    speed: float,
) -> Floats:
    spot = np.array(stage_m, dtype=np.float64)
    away = max(float(np.linalg.norm(spot - elements.middle)), 1.0)
    points = np.array([spot, elements.middle + away * direction_of(aim_deg)])
    power = band_power(near_sum(elements, points, lines_in(bands_hz), speed))
    return decibels(power[0] / np.maximum(power[1], 1e-12))


def _opening_deg(level_db: Floats) -> float | None:
    """Whole angle around the aim within 6 dB, between the grid's angles straight in dB."""
    sides, step = [], 360 / len(level_db)
    half = len(level_db) // 2 + 1
    for one_way in (level_db[:half], np.roll(level_db[::-1], 1)[:half]):
        below = np.nonzero(one_way < -WITHIN_DB)[0]
        if not len(below):
            return None
        last = int(below[0])
        share = (one_way[last - 1] + WITHIN_DB) / (one_way[last - 1] - one_way[last])
        sides.append(step * (last - 1 + share))
    return float(sum(sides))


def decibels(ratio: Floats | float) -> Floats:
    """10 lg of a ratio of powers, never below -60."""
    return np.maximum(10 * np.log10(np.maximum(ratio, 1e-12)), FLOOR_DB)
