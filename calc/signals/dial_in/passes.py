"""High and low passes and filters as a processor takes them."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from calc.prediction import EnteredValue, SheetEntry
from calc.signals.dial_in.dials import (
    above_nothing,
    at_least,
    closest,
    nearest,
    of_a_frequency,
)
from calc.signals.dial_in.entries import Made, figure_words
from calc.signals.filters import PLAIN_Q
from calc.signals.response import Floats, filters_response
from calc.signals.words import hz_words, slope_words, title_of
from calc.system import Dial, Filter, ProcessorAbilities, Slope
from calc.words import number

HAS_GAIN = ("peak", "low shelf", "high shelf")


def pass_entry(part: Filter, abilities: ProcessorAbilities, floor_hz: float | None) -> Made:
    """A high or low pass.

    Parameters
    ----------
    floor_hz : float or None
        Below it the corner of a protective high pass is never put; None: nothing is protected.
    """
    if abilities.kinds and part.kind not in abilities.kinds and not abilities.slopes:
        return _left_out(part, part.kind, f"It has no {part.kind}.")
    slope = nearest_slope(part, abilities.slopes)
    dial = of_a_frequency(abilities.pass_hz, abilities.sampling_hz.value)
    entered = nearest(dial, part.frequency_hz)
    best = closest(dial, part.frequency_hz)
    notes = []
    if floor_hz is not None and best < floor_hz * (1 - 1e-9):
        entered = at_least(dial, floor_hz)
        best = best if entered is None else entered
        notes.append("Rounded up, as it protects.")
    if entered is None:
        notes.append(f"Its corner ends at {hz_words(best)}: that is the best it does.")
    if slope != Slope(part.family, part.order):
        notes.insert(
            0,
            f"It has no {slope_words(part.family, part.order)}: the best that it does is "
            f"{slope_words(slope.family, slope.order)}.",
        )
    elif not notes and entered is not None and hz_words(entered) != hz_words(part.frequency_hz):
        notes.append(f"Rounded from {hz_words(part.frequency_hz)}.")
    fits = entered is not None and slope == Slope(part.family, part.order)
    shown = part.frequency_hz if entered is None else entered
    value = EnteredValue("", "Hz", part.frequency_hz, entered, hz_words(shown))
    made = replace(part, frequency_hz=best, family=slope.family, order=slope.order)
    entry = SheetEntry(part.kind, title_of(part), (value,), fits, " ".join(notes))
    return Made(entry, made, steps_known=dial.step is not None and bool(abilities.slopes))


def nearest_slope(part: Filter, slopes: Sequence[Slope]) -> Slope:
    """The slope itself where it is there or none is known.

    Else a high pass gets the next steeper one, of its own family if it can be; a low pass the
    nearest. Where nothing is as steep: the steepest.
    """
    wished = Slope(part.family, part.order)
    if not slopes or wished in slopes:
        return wished
    steeper = [slope for slope in slopes if slope.order >= part.order]
    if part.kind == "high-pass" and not steeper:
        return max(slopes, key=lambda slope: (slope.order, slope.family == part.family))
    among = steeper if part.kind == "high-pass" else slopes
    return min(
        among,
        key=lambda slope: (
            slope.family != part.family,
            abs(slope.order - part.order),
            -slope.order,
        ),
    )


def filter_entries(
    filters: Sequence[Filter], abilities: ProcessorAbilities, hz: Floats
) -> list[Made]:
    """Everything but the passes; where there are too many, those that do least are left out."""
    kept = _kept(filters, abilities, hz)
    found = []
    for place, part in enumerate(filters, start=1):
        key = f"filter {place}"
        if abilities.kinds and part.kind not in abilities.kinds:
            found.append(_left_out(part, key, f"It has no {part.kind}. {_loss(part, hz)}"))
        elif place - 1 not in kept:
            words = f"It has {abilities.filters_per_output} for an output: left out."
            found.append(_left_out(part, key, f"{words} {_loss(part, hz)}"))
        else:
            found.append(_filter(part, key, abilities))
    return found


def _kept(filters: Sequence[Filter], abilities: ProcessorAbilities, hz: Floats) -> set[int]:
    able = [
        place
        for place, part in enumerate(filters)
        if not abilities.kinds or part.kind in abilities.kinds
    ]
    room = abilities.filters_per_output
    if room is None or len(able) <= room:
        return set(able)
    by_effect = sorted(able, key=lambda place: -_effect(filters[place], hz))
    return set(by_effect[:room])


def _effect(part: Filter, hz: Floats) -> float:
    """How far the filter takes the signal from what it was, level and phase together."""
    return float(np.max(np.abs(filters_response([part], hz) - 1)))


def _loss(part: Filter, hz: Floats) -> str:
    found = filters_response([part], hz)
    most = float(np.max(np.abs(20 * np.log10(np.maximum(np.abs(found), 1e-3)))))
    turned = float(np.max(np.abs(np.degrees(np.angle(found)))))
    return f"Without it the level is off by up to {most:.1f} dB, the phase by {turned:.0f} degrees."


def _left_out(part: Filter, key: str, note: str) -> Made:
    values = [EnteredValue("frequency", "Hz", part.frequency_hz, None, hz_words(part.frequency_hz))]
    if part.kind in HAS_GAIN:
        words = figure_words(part.gain_db, "dB", 0.1)
        values.append(EnteredValue("gain", "dB", part.gain_db, None, words))
    return Made(SheetEntry(key, title_of(part), _named(values), False, note))


def _filter(part: Filter, key: str, abilities: ProcessorAbilities) -> Made:
    q = PLAIN_Q if part.q is None else part.q
    pitch = of_a_frequency(abilities.filter_hz, abilities.sampling_hz.value)
    figures: list[tuple[str, str, float, Dial]] = [("frequency", "Hz", part.frequency_hz, pitch)]
    if part.kind in HAS_GAIN:
        figures.append(("gain", "dB", part.gain_db, abilities.filter_gain_db))
    if not (part.kind == "all-pass" and part.order == 1):
        figures.append(("Q", "", q, above_nothing(abilities.filter_q)))
    values, best, notes, known = [], {}, [], True
    for name, unit, wanted, dial in figures:
        entered = nearest(dial, wanted)
        best[name] = closest(dial, wanted)
        known = known and dial.step is not None
        shown = wanted if entered is None else entered
        values.append(EnteredValue(name, unit, wanted, entered, _words(name, shown, dial)))
        if entered is None:
            ends = _words(name, best[name], dial)
            notes.append(f"Its {name} ends at {ends}: that is the best it does.")
    made = replace(
        part,
        frequency_hz=best["frequency"],
        gain_db=best.get("gain", part.gain_db),
        q=best.get("Q", part.q),
    )
    fits = all(value.entered is not None for value in values)
    return Made(
        SheetEntry(key, title_of(part), _named(values), fits, " ".join(notes)), made,
        steps_known=known,
    )  # fmt: skip


def _named(values: Sequence[EnteredValue]) -> tuple[EnteredValue, ...]:
    """A value that is alone needs no name."""
    return tuple(values) if len(values) > 1 else tuple(replace(one, name="") for one in values)


def _words(name: str, value: float, dial: Dial) -> str:
    if name == "frequency":
        return hz_words(value)
    if name == "gain":
        text = figure_words(value, "dB", dial.step or 0.1)
        return text if text.startswith("-") else f"+{text}"
    return number(value) if dial.step is None else figure_words(value, "", dial.step)
