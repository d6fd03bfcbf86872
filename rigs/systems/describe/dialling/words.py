"""What an output is set to, in the words of the pages."""

from calc.acoustics.air import speed_of_sound
from calc.constants import METRES_PER_FOOT
from calc.signals.words import title_of
from calc.system import DriveLine, Filter, ProcessorOutput
from calc.words import joined, level, number

__all__ = [
    "NOBODY_SAID",
    "DriveLine",
    "delay_words",
    "distance_words",
    "entries_of",
    "filter_words",
    "hertz",
    "joined",
    "level",
    "number",
    "plain_delay",
]

NOBODY_SAID = "nobody said"
PASSES = {"high-pass": "High-pass", "low-pass": "Low-pass"}
LIFTS = ("peak", "low shelf", "high shelf")


def filter_words(section: Filter) -> str:
    """ "High-pass, Linkwitz-Riley 24 dB/octave, 98.4 Hz": every figure as it was typed."""
    parts = [title_of(section), hertz(section.frequency_hz)]
    if section.kind in LIFTS:
        parts.append(gain_words(section.gain_db))
    if section.q is not None and section.kind not in PASSES:
        parts.append(f"Q {number(section.q, 4)}")
    return ", ".join(parts)


def hertz(value: float) -> str:
    """Up to five figures: what people type."""
    return f"{number(value, 5)} Hz" if value < 1000 else f"{number(value / 1000, 5)} kHz"


def gain_words(value: float | None) -> str:
    """A gain with its sign."""
    if value is None:
        return NOBODY_SAID
    text = f"{value:+.2f}".rstrip("0").rstrip(".")
    return f"{'0' if text in ('+0', '-0') else text} dB"


def delay_words(delay_ms: float, temperature_c: float) -> str:
    """A delay with the way that sound goes in it."""
    if delay_ms == 0:
        return "0 ms"
    metres = delay_ms / 1000 * speed_of_sound(temperature_c)
    return f"{plain_delay(delay_ms, 3)} ({distance_words(metres)})"


def plain_delay(delay_ms: float, decimals: int = 2) -> str:
    """A time to so many decimals at most: '7.3 ms'."""
    text = f"{delay_ms:.{decimals}f}".rstrip("0").rstrip(".")
    return f"{text} ms"


def distance_words(metres: float) -> str:
    """A distance in both units: three figures, and nothing finer than a centimetre."""
    return f"{_to_hundredths(metres)} m, {_to_hundredths(metres / METRES_PER_FOOT)} ft"


def _to_hundredths(value: float) -> str:
    return number(round(value, 2), 3)


def input_words(inputs: tuple[int, ...]) -> str:
    """Which inputs an output plays."""
    if not inputs:
        return NOBODY_SAID
    named = joined(map(str, inputs))
    return f"input {named}" if len(inputs) == 1 else f"inputs {named}, added up"


def entries_of(output: ProcessorOutput, temperature_c: float) -> dict[str, str]:
    """Label and words of everything that an output is set to, in the order of signals."""
    said = {
        "Inputs": input_words(output.inputs),
        "Gain": gain_words(output.gain_db),
        "Delay": delay_words(output.delay_ms, temperature_c),
        "Polarity": "inverted" if output.inverted else "normal",
    }
    for kind, label in PASSES.items():
        found = [filter_words(each) for each in output.filters if each.kind == kind]
        said[label] = found[0].removeprefix(f"{label}, ") if found else "none"
    sections = [each for each in output.filters if each.kind not in PASSES]
    for place, section in enumerate(sections, start=1):
        said[f"Filter {place}"] = filter_words(section)
    return said
