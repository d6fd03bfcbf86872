"""A microphone's calibration as makers deliver it: lines of Hz and dB, perhaps degrees.

The level is what the microphone reads too much. Stored as a plain mapping of two lists,
`frequency_hz` and `level_db`.
"""

import re
from typing import Any

from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import cells_of, read_rows

LOWEST_HZ, HIGHEST_HZ = 1.0, 200_000.0
MOST_DB = 60.0
MOST_POINTS = 5000
LIKE = "write Hz and dB: 1000, -0.3"
SPACES = re.compile(r"\s+")


def read_calibration(text: str) -> dict[str, list[float]]:
    """Read a calibration. A third column (phase) is passed over.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    rows = read_rows(text, "a calibration", (2, 3), LIKE, _row_fault, _cells)
    if not rows:
        raise ValidationError("There are no lines of Hz and dB in this.")
    if not 2 <= len(rows) <= MOST_POINTS:
        raise ValidationError(f"A calibration has 2 to {MOST_POINTS} points; this has {len(rows)}.")
    return {"frequency_hz": [row[0] for row in rows], "level_db": [row[1] for row in rows]}


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


def _cells(line: str) -> list[str]:
    """Makers set columns with blanks too."""
    cells = cells_of(line)
    return cells if len(cells) > 1 else SPACES.split(line)


def _row_fault(frequency: float, level: float, _phase: float = 0.0) -> str:
    if not LOWEST_HZ <= frequency <= HIGHEST_HZ:
        return f"a frequency of {frequency:g} Hz is not believable"
    if not -MOST_DB <= level <= MOST_DB:
        return f"{level:g} dB is no deviation of a microphone; it lies between -60 and 60 dB"
    return ""
