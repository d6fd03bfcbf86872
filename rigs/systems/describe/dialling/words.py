"""What an output is set to, in the words of the pages."""

from calc.acoustics.air import speed_of_sound
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

FOOT_M = 0.3048
DB_PER_OCTAVE = 6
NOBODY_SAID = "nobody said"
PASSES = {"high-pass": "High-pass", "low-pass": "Low-pass"}


def filter_words(section: Filter) -> str:
    """ "High-pass, Linkwitz-Riley 24 dB/octave, 98.4 Hz"."""
    where = hertz(section.frequency_hz)
    name = section.kind.capitalize()
    if section.kind in PASSES:
        return f"{name}, {section.family} {section.order * DB_PER_OCTAVE} dB/octave, {where}"
    parts = [name, where]
    if section.kind == "all-pass":
        parts[0] = f"All-pass of order {section.order}"
    elif section.kind != "notch":
        parts.append(gain_words(section.gain_db))
    if section.q is not None and not (section.kind == "all-pass" and section.order == 1):
        parts.append(f"Q {number(section.q)}")
    return ", ".join(parts)


def hertz(value: float) -> str:
    """Four figures: what people type."""
    return f"{number(value, 4)} Hz" if value < 1000 else f"{number(value / 1000, 4)} kHz"


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
    return f"{number(delay_ms, 4)} ms ({distance_words(metres)})"


def plain_delay(delay_ms: float) -> str:
    """A time to two decimals at most: '7.3 ms'."""
    text = f"{delay_ms:.2f}".rstrip("0").rstrip(".")
    return f"{text} ms"


def distance_words(metres: float) -> str:
    """A distance in both units."""
    return f"{number(metres, 3)} m, {number(metres / FOOT_M, 3)} ft"


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
        "Polarity": "inverted" if output.inverted else "as it is",
    }
    for kind, label in PASSES.items():
        found = [filter_words(each) for each in output.filters if each.kind == kind]
        said[label] = found[0].removeprefix(f"{label}, ") if found else "none"
    sections = [each for each in output.filters if each.kind not in PASSES]
    for place, section in enumerate(sections, start=1):
        said[f"Filter {place}"] = filter_words(section)
    return said
