"""How numbers and names stand in a sentence."""

from collections.abc import Iterable


def number(value: float, digits: int = 3) -> str:
    """A number with so many significant digits, never with an exponent: 2.67, 105.8, 1400.

    Whole digits before the point are always kept; zeros at the end are dropped.
    """
    if value == 0:
        return "0"
    magnitude = abs(value)
    decimals = digits - 1
    while magnitude >= 10 and decimals > 0:
        magnitude /= 10
        decimals -= 1
    if abs(value) < 0.1:
        decimals = digits + 1
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def level(value: float, unit: str = "dB") -> str:
    """A level with one decimal and its sign where it is a ratio: '-0.7 dB', '101.3 dB'."""
    text = f"{value:.1f}"
    return f"{'0.0' if text == '-0.0' else text} {unit}"


def joined(names: Iterable[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    words = list(names)
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def duration(minutes: float) -> str:
    """A time with two figures in the unit that suits it: '2.5 h', '15 min', '4.7 s'."""
    if minutes >= 90:
        return f"{number(minutes / 60, 2)} h"
    return f"{number(minutes, 2)} min" if minutes >= 1 else f"{number(60 * minutes, 2)} s"
