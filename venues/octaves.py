"""Seven values for the octaves from 125 Hz to 8 kHz, each of which may be unknown."""

import math
from collections.abc import Sequence

OCTAVES = (125, 250, 500, 1000, 2000, 4000, 8000)

Octaves = list[float | None]


def octave_name(hz: int) -> str:
    """125 Hz, 1 kHz ..."""
    return f"{hz // 1000} kHz" if hz >= 1000 else f"{hz} Hz"


def octaves_fault(values: object, low: float, high: float, unit: str) -> str:
    """Say what is wrong with seven values; "" if nothing is."""
    if not isinstance(values, Sequence) or len(values) not in (0, len(OCTAVES)):
        return "Give seven values, one for each octave from 125 Hz to 8 kHz, or none."
    for hz, value in zip(OCTAVES, values, strict=False):
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float) or math.isnan(value):
            return f"{octave_name(hz)}: this is no number."
        if not low <= value <= high:
            given = " ".join(filter(None, (f"{value:g}", unit)))
            return (
                f"{octave_name(hz)}: {given} is not believable; it lies from {low:g} to {high:g}."
            )
    return ""


def or_none(values: Sequence[float | None]) -> Octaves:
    """The values, or none at all where every one is unknown."""
    return list(values) if any(value is not None for value in values) else []
