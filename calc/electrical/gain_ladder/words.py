"""What a gain ladder means, and what it lacks, in sentences."""

from collections.abc import Iterator, Sequence

from calc.electrical.gain_ladder.hiss import Hiss
from calc.electrical.gain_ladder.levels import BOX
from calc.electrical.line_figures import LineFigures
from calc.lookup import Lookup
from calc.prediction import GainStage
from calc.words import joined, level, number


def sentences_of(
    figures: LineFigures,
    first: GainStage | None,
    complete: bool,
    aligned: float | None,
    hiss: Hiss,
) -> Iterator[str]:
    """Who clips first, where the level control lines up, how loud the hiss is."""
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


def _hiss_words(hiss: Hiss, distance: float) -> Iterator[str]:
    where = f"at the nearest listener, {number(distance)} m away"
    if hiss.db is not None:
        volts = "unweighted, an upper estimate"
        yield f"Hiss {where}: about {level(hiss.db)} SPL ({volts})."
    elif hiss.at_least_db is not None:
        yield (
            f"Hiss {where} is not known: what is known of it gives "
            f"{level(hiss.at_least_db)} SPL alone."
        )


def unknown_of(figures: LineFigures, lookup: Lookup) -> Iterator[str]:
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
        if figures.processor_gain_db is None:
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
