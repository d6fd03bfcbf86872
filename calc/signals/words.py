"""Filters and figures as people type and read them."""

from calc.system import Filter, FilterFamily
from calc.words import number


def slope_words(family: FilterFamily, order: int) -> str:
    """'Linkwitz-Riley 24 dB/octave'."""
    return f"{family} {6 * order} dB/octave".strip()


def hz_words(hz: float) -> str:
    """'98.4 Hz', '1.25 kHz'."""
    return f"{number(hz, 4)} Hz" if hz < 1000 else f"{number(hz / 1000, 4)} kHz"


def title_of(part: Filter) -> str:
    """What a filter is, without its figures: 'High-pass, Linkwitz-Riley 24 dB/octave'."""
    name = part.kind.capitalize()
    if part.kind in ("high-pass", "low-pass"):
        return f"{name}, {slope_words(part.family, part.order)}"
    if part.kind == "all-pass":
        return f"{name}, {'first' if part.order == 1 else 'second'} order"
    return name


def filter_words(part: Filter) -> str:
    """A filter with all of its figures in one line."""
    words = [title_of(part), hz_words(part.frequency_hz)]
    if part.kind in ("peak", "low shelf", "high shelf"):
        words.append(f"{part.gain_db:+.1f} dB")
    if part.q is not None and part.kind not in ("high-pass", "low-pass"):
        words.append(f"Q {number(part.q)}")
    return ", ".join(words)
