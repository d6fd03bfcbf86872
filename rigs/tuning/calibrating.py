"""A microphone's calibration as makers deliver it: lines of Hz and dB, perhaps degrees.

The level is what the microphone reads too much. Stored as a plain mapping of two lists,
`frequency_hz` and `level_db`.
"""

import re
from typing import Any

from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import Line, cells_of, check_length, data_lines, is_number, told

LOWEST_HZ, HIGHEST_HZ = 1.0, 200_000.0
MOST_DB = 60.0
MOST_POINTS = 5000
LIKE = "write Hz and dB: 1000, -0.3"
SPACES = re.compile(r"\s+")


def read_calibration(text: str) -> dict[str, list[float]]:
    """Read a calibration. A third column (phase) is passed over.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    check_length(text, "a calibration")
    hz: list[float] = []
    db: list[float] = []
    faults: list[str] = []
    for line in data_lines(text):
        fault = _take(hz, db, line)
        if fault:
            faults.append(line.saying(fault))
    if faults:
        raise ValidationError(told(faults))
    if not hz:
        raise ValidationError("There are no lines of Hz and dB in this.")
    if not 2 <= len(hz) <= MOST_POINTS:
        raise ValidationError(f"A calibration has 2 to {MOST_POINTS} points; this has {len(hz)}.")
    return {"frequency_hz": hz, "level_db": db}


def write_calibration(curve: dict[str, Any]) -> str:
    """The text that `read_calibration` reads."""
    points = zip(curve["frequency_hz"], curve["level_db"], strict=True)
    return "\n".join(f"{hz:.12g}, {db:.12g}" for hz, db in points)


def range_words(curve: dict[str, Any]) -> str:
    """What it covers: 20 Hz to 20 kHz, 31 points, -2.1 to 0.4 dB."""
    hz, db = curve["frequency_hz"], curve["level_db"]
    return (
        f"{_hz_words(hz[0])} to {_hz_words(hz[-1])}, {len(hz)} points, "
        f"{min(db):.1f} to {max(db):.1f} dB"
    )


def _hz_words(hz: float) -> str:
    return f"{hz / 1000:.3g} kHz" if hz >= 1000 else f"{hz:.3g} Hz"


def _take(hz: list[float], db: list[float], line: Line) -> str:
    cells = cells_of(line.text)
    if len(cells) == 1:
        cells = SPACES.split(line.text)
    if len(cells) not in (2, 3) or not all(map(is_number, cells)):
        return LIKE
    frequency, level = float(cells[0]), float(cells[1])
    if not LOWEST_HZ <= frequency <= HIGHEST_HZ:
        return f"a frequency of {frequency:g} Hz is not believable"
    if not -MOST_DB <= level <= MOST_DB:
        return f"{level:g} dB is no deviation of a microphone; it lies between -60 and 60 dB"
    if hz and frequency <= hz[-1]:
        return f"frequencies must rise, but {hz[-1]:g} Hz stands before it"
    hz.append(frequency)
    db.append(level)
    return ""
