"""The gain ladder: where each stage from the mixer to the box clips, and how noisy it is.

All stages are seen from one point, the processor's output, where limiters are set too. Levels
are those of a sine in dBu, rms; noises are rms.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.acoustics.geometry import NEAREST_M
from calc.acoustics.nearest import nearest_ear_m
from calc.constants import VOLT_OF_SENSITIVITY
from calc.electrical.gain import dbu
from calc.electrical.limiters import lowest_volts, stated_peak_volts
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.lookup import Lookup
from calc.prediction import GainLadder, GainStage
from calc.words import joined, level, number

MIXER, INPUT, OUTPUT = "mixer", "processor input", "processor output"
AMPLIFIER_INPUT, AMPLIFIER_OUTPUT, BOX = "amplifier input", "amplifier output", "box"
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
    hiss = _hiss(figures, lookup, stages)
    return GainLadder(
        stages=stages,
        first_to_clip=first.name if first is not None and complete else "",
        first_known_to_clip="" if first is None else first.name,
        aligned_level_control_db=aligned,
        hiss_db=hiss.db,
        hiss_at_least_db=hiss.at_least_db,
        hiss_distance_m=hiss.distance_m,
        sentences=tuple(_sentences(figures, first, complete, aligned, hiss)),
        unknown=tuple(_unknown(figures, lookup)),
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
                figures.line.processor_gain_db,
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
        total = _added(_plus(total, stage.gain), None if stage.quiet else stage.noise, stage.quiet)
        found.append(
            GainStage(
                name=stage.name,
                gain_db=stage.gain,
                clip_dbu=stage.clip,
                noise_dbu=stage.noise,
                clip_at_reference_dbu=_plus(stage.clip, offset),
                noise_at_reference_dbu=_plus(stage.noise, offset),
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
            offset = _plus(offset, None if stage.gain is None else sign * stage.gain)
        found.append(offset)
    return found


def _plus(a: float | None, b: float | None) -> float | None:
    if a == -math.inf:
        return a
    return None if a is None or b is None else a + b


def _added(total: float | None, noise: float | None, quiet: bool) -> float | None:
    """Noise powers added, in dB; -inf is no noise yet."""
    if quiet or total is None:
        return total
    if noise is None:
        return None
    return noise if total == -math.inf else _sum_db([total, noise])


def _sum_db(levels: Sequence[float]) -> float:
    return 10 * math.log10(sum(10 ** (one / 10) for one in levels))


def _aligned(figures: LineFigures) -> float | None:
    """Level control at which processor and amplifier clip together, above 0: out of reach."""
    top = None if figures.processor is None else figures.processor.max_output_dbu.value
    if top is None or figures.gain.db is None or figures.bounds.low_v is None:
        return None
    return dbu(figures.bounds.low_v) - figures.gain.db - top


@dataclass(frozen=True, slots=True)
class _Hiss:
    db: float | None
    at_least_db: float | None
    distance_m: float | None


def _hiss(figures: LineFigures, lookup: Lookup, stages: Sequence[GainStage]) -> _Hiss:
    """Level of the noise at the nearest listener: no air loss, on the axis, all boxes added."""
    distances = [_distance(figures, box, lookup) for box in figures.boxes]
    known = [d for d in distances if d is not None]
    nearest = min(known, default=None)
    if not known or len(known) < len(distances) or figures.sheet is None:
        return _Hiss(None, None, nearest)
    levels = []
    for box, distance in zip(figures.boxes, known, strict=True):
        per_volt = _level_per_volt(box)
        if per_volt is None:
            return _Hiss(None, None, nearest)
        levels.append(per_volt - 20 * math.log10(max(distance, NEAREST_M)))
    per_volt_here = _sum_db(levels)
    offset = dbu(1.0)
    gain = next(s.gain_db for s in stages if s.name == AMPLIFIER_OUTPUT)
    noises = [_at_amplifier(stage, gain) for stage in stages if stage.noise_dbu is not None]
    parts = [noise for noise in noises if noise is not None]
    at_least = _sum_db(parts) - offset + per_volt_here if parts else None
    total = stages[-1].total_noise_dbu if lookup.mixer is not None else None
    if figures.processor is None:
        total = None
    return _Hiss(None if total is None else total - offset + per_volt_here, at_least, nearest)


def _at_amplifier(stage: GainStage, gain: float | None) -> float | None:
    """A stage's own noise at the amplifier's output."""
    if stage.name == AMPLIFIER_OUTPUT:
        return stage.noise_dbu
    return _plus(stage.noise_at_reference_dbu, gain)


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


def _sentences(
    figures: LineFigures,
    first: GainStage | None,
    complete: bool,
    aligned: float | None,
    hiss: _Hiss,
) -> Iterator[str]:
    if first is not None and first.clip_at_reference_dbu is not None:
        known = "" if complete else ", as far as it is known"
        yield (
            f"The {first.name} {'reaches its peak rating' if first.name == BOX else 'clips'} "
            f"first{known}: at {level(first.clip_at_reference_dbu, 'dBu')} at the processor's "
            "output."
        )
    if aligned is not None:
        yield _alignment(figures.line.level_control_db, aligned)
    if hiss.distance_m is not None:
        yield from _hiss_words(hiss, hiss.distance_m)


def _alignment(now: float, aligned: float) -> str:
    if aligned > 0:
        return (
            f"The processor clips {level(aligned)} before the amplifier even with the level "
            "control fully up: an amplifier with more gain would use all of its power."
        )
    if abs(now - aligned) < 0.05:
        return "Processor and amplifier clip together: the level control is well placed."
    return (
        f"With the level control at {level(aligned)} the processor and the amplifier clip "
        f"together (it is at {level(now)}). Turning it makes the limiter's figures void: "
        "compute them again."
    )


def _hiss_words(hiss: _Hiss, distance: float) -> Iterator[str]:
    where = f"at the nearest listener, {number(distance)} m away"
    if hiss.db is not None:
        volts = "unweighted, an upper estimate"
        yield f"Hiss {where}: about {level(hiss.db)} SPL ({volts})."
    elif hiss.at_least_db is not None:
        yield (
            f"Hiss {where} is not known: what is known of it gives "
            f"{level(hiss.at_least_db)} SPL alone."
        )


def _unknown(figures: LineFigures, lookup: Lookup) -> Iterator[str]:
    """What the ladder lacks, as things to enter."""
    if lookup.mixer is None:
        yield "the mixer"
    elif missing := _missing(lookup.mixer, ("max_output_dbu", "output_noise_dbu")):
        yield f"the {joined(missing)} of the mixer"
    processor, sheet = figures.processor, figures.sheet
    if processor is None:
        yield "the processor of this line"
    else:
        fields = ("max_input_dbu", "max_output_dbu", "output_noise_dbu")
        if missing := _missing(processor, fields):
            yield f"the {joined(missing)} of '{processor.name}'"
        if figures.line.processor_gain_db is None:
            yield "the processor's gain to this output"
    if sheet is None:
        yield "the amplifier of this line"
    else:
        if missing := _missing(sheet, ("input_clip_dbu", "output_noise_dbu")):
            yield f"the {joined(missing)} of '{sheet.name}'"
        yield from (word for word in (figures.gain.missing, figures.bounds.missing) if word)
    if figures.line.nearest_listener_m is None and not lookup.areas:
        yield "how near the nearest listener is"
    for box in figures.boxes:
        if box.way.sensitivity_db.value is None:
            yield f"the sensitivity of {box.name}"


NAMES = {
    "max_output_dbu": "highest output level",
    "max_input_dbu": "highest input level",
    "input_clip_dbu": "input clip level",
    "output_noise_dbu": "output noise",
}


def _missing(part: object, fields: Sequence[str]) -> list[str]:
    return [NAMES[field] for field in fields if getattr(part, field).value is None]
