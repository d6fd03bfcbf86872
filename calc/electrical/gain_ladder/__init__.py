"""The gain ladder: where each stage from the mixer to the box clips, and how noisy it is.

All stages are seen from one point, the processor's output, where limiters are set too. Levels
are those of a sine in dBu, rms; noises are rms.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.electrical.gain import dbu
from calc.electrical.gain_ladder.hiss import hiss_of
from calc.electrical.gain_ladder.levels import (
    AMPLIFIER_INPUT,
    AMPLIFIER_OUTPUT,
    BOX,
    INPUT,
    MIXER,
    OUTPUT,
    plus,
    sum_db,
)
from calc.electrical.gain_ladder.words import sentences_of, unknown_of
from calc.electrical.limiters import lowest_volts, stated_peak_volts
from calc.electrical.line_figures import LineFigures
from calc.lookup import Lookup
from calc.prediction import GainLadder, GainStage

__all__ = ["gain_ladder"]

TWO_CHANNELS_DB = 10 * math.log10(2)
"""dB. Noise of two channels that know nothing of each other, in bridge. MATH."""


@dataclass(frozen=True, slots=True)
class _Stage:
    """`gain` from the stage before; `quiet` where a stage adds no noise of its own."""

    name: str
    gain: float | None
    clip: float | None
    noise: float | None = None
    quiet: bool = False


def gain_ladder(figures: LineFigures, lookup: Lookup) -> GainLadder | None:
    """The ladder of one line; None when neither a processor nor an amplifier is named."""
    if figures.sheet is None and figures.processor is None:
        return None
    raw = _stages(figures, lookup)
    stages = _seen_from_output(raw)
    complete = lookup.mixer is not None and all(s.clip_at_reference_dbu is not None for s in stages)
    first = min(
        (s for s in stages if s.clip_at_reference_dbu is not None),
        key=lambda s: s.clip_at_reference_dbu or 0.0,
        default=None,
    )
    aligned = _aligned(figures)
    hiss = hiss_of(figures, lookup, stages)
    return GainLadder(
        stages=stages,
        first_to_clip=first.name if first is not None and complete else "",
        first_known_to_clip="" if first is None else first.name,
        aligned_level_control_db=aligned,
        hiss_db=hiss.db,
        hiss_at_least_db=hiss.at_least_db,
        hiss_distance_m=hiss.distance_m,
        sentences=tuple(sentences_of(figures, first, complete, aligned, hiss)),
        unknown=tuple(unknown_of(figures, lookup)),
    )


def _stages(figures: LineFigures, lookup: Lookup) -> list[_Stage]:
    mixer, processor, sheet = lookup.mixer, figures.processor, figures.sheet
    level_db, gain = figures.line.level_control_db, figures.gain.db
    low = figures.bounds.low_v
    found = []
    if mixer is not None:
        found.append(_Stage(MIXER, 0.0, mixer.max_output_dbu.value, mixer.output_noise_dbu.value))
    if processor is not None:
        found += [
            _Stage(INPUT, 0.0, processor.max_input_dbu.value, quiet=True),
            _Stage(
                OUTPUT,
                figures.processor_gain_db,
                processor.max_output_dbu.value,
                processor.output_noise_dbu.value,
            ),
        ]
    if sheet is not None:
        found += [
            _Stage(AMPLIFIER_INPUT, 0.0, sheet.input_clip_dbu.value, quiet=True),
            _Stage(
                AMPLIFIER_OUTPUT,
                None if gain is None else gain + level_db,
                None if low is None else dbu(low),
                _amplifier_noise(figures),
            ),
        ]
    peak = lowest_volts([box.at_amplifier(stated_peak_volts(box.way)) for box in figures.boxes])
    clip = None if peak is None else dbu(peak / math.sqrt(2))
    return [*found, _Stage(BOX, 0.0, clip, quiet=True)]


def _amplifier_noise(figures: LineFigures) -> float | None:
    assert figures.sheet is not None
    noise = figures.sheet.output_noise_dbu.value
    if noise is None:
        return None
    return noise + (TWO_CHANNELS_DB if figures.line.mode == "bridged" else 0.0)


def _seen_from_output(raw: Sequence[_Stage]) -> tuple[GainStage, ...]:
    """Each stage's own figures, and the same at the processor's output."""
    ahead = _offsets(raw)
    found: list[GainStage] = []
    total: float | None = -math.inf
    for stage, offset in zip(raw, ahead, strict=True):
        total = _added(plus(total, stage.gain), None if stage.quiet else stage.noise, stage.quiet)
        found.append(
            GainStage(
                name=stage.name,
                gain_db=stage.gain,
                clip_dbu=stage.clip,
                noise_dbu=stage.noise,
                clip_at_reference_dbu=plus(stage.clip, offset),
                noise_at_reference_dbu=plus(stage.noise, offset),
                total_noise_dbu=None if total == -math.inf else total,
            )
        )
    return tuple(found)


def _offsets(raw: Sequence[_Stage]) -> list[float | None]:
    """What to add to a level at each stage to see it at the processor's output."""
    names = [stage.name for stage in raw]
    output = names.index(OUTPUT) if OUTPUT in names else -1
    found: list[float | None] = []
    for index in range(len(raw)):
        between = raw[index + 1 : output + 1] if index < output else raw[output + 1 : index + 1]
        sign = 1.0 if index < output else -1.0
        offset: float | None = 0.0
        for stage in between:
            offset = plus(offset, None if stage.gain is None else sign * stage.gain)
        found.append(offset)
    return found


def _added(total: float | None, noise: float | None, quiet: bool) -> float | None:
    """Noise powers added, in dB; -inf is no noise yet."""
    if quiet or total is None:
        return total
    if noise is None:
        return None
    return noise if total == -math.inf else sum_db([total, noise])


def _aligned(figures: LineFigures) -> float | None:
    """Level control at which processor and amplifier clip together, above 0: out of reach."""
    top = None if figures.processor is None else figures.processor.max_output_dbu.value
    if top is None or figures.gain.db is None or figures.bounds.low_v is None:
        return None
    return dbu(figures.bounds.low_v) - figures.gain.db - top
