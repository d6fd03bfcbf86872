"""How loud the noise of a line is at the nearest listener."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.acoustics.geometry import NEAREST_M
from calc.acoustics.nearest import nearest_ear_m
from calc.constants import VOLT_OF_SENSITIVITY
from calc.electrical.gain import dbu
from calc.electrical.gain_ladder.levels import AMPLIFIER_OUTPUT, plus, sum_db
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.lookup import Lookup
from calc.prediction import GainStage


@dataclass(frozen=True, slots=True)
class Hiss:
    """Levels in dB re 20 uPa, None where unknown; `at_least_db` by the known noises alone."""

    db: float | None
    at_least_db: float | None
    distance_m: float | None


def hiss_of(figures: LineFigures, lookup: Lookup, stages: Sequence[GainStage]) -> Hiss:
    """Level of the noise at the nearest listener: no air loss, on the axis, all boxes added."""
    distances = [_distance(figures, box, lookup) for box in figures.boxes]
    known = [d for d in distances if d is not None]
    nearest = min(known, default=None)
    if not known or len(known) < len(distances) or figures.sheet is None:
        return Hiss(None, None, nearest)
    levels = []
    for box, distance in zip(figures.boxes, known, strict=True):
        per_volt = _level_per_volt(box)
        if per_volt is None:
            return Hiss(None, None, nearest)
        levels.append(per_volt - 20 * math.log10(max(distance, NEAREST_M)))
    per_volt_here = sum_db(levels)
    offset = dbu(1.0)
    gain = next(s.gain_db for s in stages if s.name == AMPLIFIER_OUTPUT)
    noises = [_at_amplifier(stage, gain) for stage in stages if stage.noise_dbu is not None]
    parts = [noise for noise in noises if noise is not None]
    at_least = sum_db(parts) - offset + per_volt_here if parts else None
    total = stages[-1].total_noise_dbu if lookup.mixer is not None else None
    if figures.processor is None:
        total = None
    return Hiss(None if total is None else total - offset + per_volt_here, at_least, nearest)


def _at_amplifier(stage: GainStage, gain: float | None) -> float | None:
    """A stage's own noise at the amplifier's output."""
    if stage.name == AMPLIFIER_OUTPUT:
        return stage.noise_dbu
    return plus(stage.noise_at_reference_dbu, gain)


def _distance(figures: LineFigures, box: BoxFigures, lookup: Lookup) -> float | None:
    if figures.line.nearest_listener_m is not None:
        return figures.line.nearest_listener_m
    return nearest_ear_m(lookup.placements[box.placement], lookup.areas)


def _level_per_volt(box: BoxFigures) -> float | None:
    """Level at 1 m for 1 V at the amplifier, no cable loss taken off."""
    sensitivity, rated = box.way.sensitivity_db.value, box.way.rated_impedance_ohm.value
    reference: float | None = VOLT_OF_SENSITIVITY
    if box.way.sensitivity_basis == "1 W":
        reference = None if rated is None else math.sqrt(rated)
    if sensitivity is None or reference is None or box.ideal_share is None:
        return None
    return sensitivity + 20 * math.log10(box.ideal_share / reference)
