"""Entries of an output that are no filters: inputs, gain, delay, polarity, limiter."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.prediction import EnteredValue, LineResult, SheetEntry
from calc.signals.dial_in.dials import above_nothing, at_least, at_most, closest, nearest
from calc.system import Dial, Filter, ProcessorAbilities, ProcessorOutput
from calc.words import joined, number

UNSAID = "Nobody said it."


@dataclass(frozen=True, slots=True)
class Made:
    """An entry, and what it makes of the output: `part` of a filter, `value` of a figure.

    Both are None where it is left out. `steps_known` False: the dial's steps are unknown.
    """

    entry: SheetEntry
    part: Filter | None = None
    value: float | None = None
    steps_known: bool = True


def figure_words(value: float, unit: str, step: float | None) -> str:
    """A figure with as many decimals as its step has, three at most: '7.25 ms'."""
    decimals = 2
    if step is not None:
        decimals = next((d for d in range(4) if abs(round(step, d) - step) < 1e-9), 3)
    text = f"{value:.{decimals}f}"
    return f"{text.removeprefix('-') if not float(text) else text} {unit}".strip()


def inputs_entry(output: ProcessorOutput, abilities: ProcessorAbilities) -> Made:
    """Which inputs it plays, together or one alone."""
    numbers = output.inputs
    if not numbers:
        return Made(SheetEntry("inputs", "Plays", (), note=UNSAID))
    words = f"input{'s' if len(numbers) > 1 else ''} {joined(str(one) for one in numbers)}"
    fits = len(numbers) == 1 or abilities.mixes_inputs is not False
    note = ""
    if not fits:
        note = f"An output plays one input only: the best is input {numbers[0]} alone."
    elif len(numbers) > 1 and abilities.mixes_inputs is None:
        note = "Whether an output can play inputs added up is unknown."
    first = float(numbers[0])
    value = EnteredValue("", "", first, first if fits else None, words)
    known = len(numbers) == 1 or abilities.mixes_inputs is not None
    return Made(SheetEntry("inputs", "Plays", (value,), fits, note), steps_known=known)


def figure_entry(key: str, title: str, unit: str, wanted: float | None, dial: Dial) -> Made:
    """A gain or a delay, to the nearest step."""
    if wanted is None:
        return Made(SheetEntry(key, title, (), note=UNSAID))
    entered, best = nearest(dial, wanted), closest(dial, wanted)
    words = figure_words(wanted if entered is None else entered, unit, dial.step)
    note = ""
    if entered is None:
        note = f"It ends at {figure_words(best, unit, dial.step)}: that is the best it does."
    elif abs(entered - wanted) > 1e-6:
        note = f"Rounded from {number(wanted, 6)} {unit}."
    value = EnteredValue("", unit, wanted, entered, words)
    entry = SheetEntry(key, title, (value,), entered is not None, note)
    return Made(entry, value=best, steps_known=dial.step is not None)


def polarity_entry(output: ProcessorOutput) -> Made:
    """As it is: there is nothing to round."""
    sign = 1.0 if output.inverted else 0.0
    words = "inverted" if output.inverted else "normal"
    return Made(SheetEntry("polarity", "Polarity", (EnteredValue("", "", sign, sign, words),)))


def limiter_entry(lines: Sequence[LineResult], abilities: ProcessorAbilities) -> Made | None:
    """The lowest of the lines' limiters, thresholds never up; None where no line hangs on it."""
    if not lines:
        return None
    unknown = [line.name for line in lines if line.limiter_rms_dbu is None]
    if unknown:
        note = f"The limiter of {joined(unknown)} is unknown: complete that line first."
        return Made(SheetEntry("limiter", "Limiter", (), note=note), steps_known=False)
    values = [
        _threshold(name, min(levels), abilities.limiter_dbu)
        for name, levels in (
            ("rms", [line.limiter_rms_dbu or 0.0 for line in lines]),
            ("peak", [line.limiter_peak_dbu or 0.0 for line in lines]),
        )
    ]
    values += _times(lines, abilities)
    missing = [value.name for value in values if value.entered is None]
    note = "Thresholds are never rounded up."
    if len(lines) > 1:
        note += f" The lowest of {joined(line.name for line in lines)}."
    if missing:
        verb = "lie" if len(missing) > 1 else "lies"
        note = (
            f"{joined(missing).capitalize()} {verb} beyond what it can be set to, and no setting "
            "protects as well: change the gain behind it or use another limiter."
        )
    entry = SheetEntry("limiter", "Limiter", tuple(values), not missing, note)
    return Made(entry, steps_known=abilities.limiter_dbu.step is not None)


def _threshold(name: str, wanted: float, dial: Dial) -> EnteredValue:
    entered = at_most(dial, wanted)
    shown = wanted if entered is None else entered
    digits = 100 if dial.step is None else 1000
    shown = math.floor(shown * digits + 1e-6) / digits  # the words are not rounded up either
    return EnteredValue(name, "dBu", wanted, entered, figure_words(shown, "dBu", dial.step))


def _times(lines: Sequence[LineResult], abilities: ProcessorAbilities) -> list[EnteredValue]:
    """The shortest attack, never longer; the longest release, never shorter."""
    attacks = [line.limiter_attack_ms for line in lines if line.limiter_attack_ms is not None]
    releases = [line.limiter_release_ms for line in lines if line.limiter_release_ms is not None]
    found = []
    if attacks:
        dial = above_nothing(abilities.attack_ms)
        found.append(_time("attack", min(attacks), at_most(dial, min(attacks)), dial))
    if releases:
        entered = at_least(abilities.release_ms, max(releases))
        found.append(_time("release", max(releases), entered, abilities.release_ms))
    return found


def _time(name: str, wanted: float, entered: float | None, dial: Dial) -> EnteredValue:
    shown = wanted if entered is None else entered
    return EnteredValue(name, "ms", wanted, entered, figure_words(shown, "ms", dial.step))
