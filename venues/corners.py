"""Corners as people type them: one "x, y" per line."""

import re

from django.core.exceptions import ValidationError

Corners = list[list[float]]

_DOT = r"([-+]?\d*\.?\d+)"
_EITHER = r"([-+]?\d*[.,]?\d+)"
PATTERNS = [
    re.compile(_DOT + r"\s*,\s*" + _DOT),
    *(re.compile(_EITHER + between + _EITHER) for between in (r"\s*;\s*", r"\s*,\s+", r"\s+")),
]


def read_corners(text: str) -> Corners:
    """Read one corner per line; a ValidationError names each line that is none.

    Between x and y stands a comma, a semicolon or a space. Beside a semicolon or a space, a
    comma may be the decimal sign: "4,5; 12".
    """
    corners, faults = [], []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        corner = _read_line(line.strip())
        if corner is None:
            faults.append(f"Line {number}, “{line.strip()}”: write x and y in metres: 4.5, 12.")
        else:
            corners.append(corner)
    if faults:
        raise ValidationError(faults)
    return corners


def write_corners(corners: Corners) -> str:
    """The text that `read_corners` reads."""
    return "\n".join(f"{x:g}, {y:g}" for x, y in corners)


def _read_line(line: str) -> list[float] | None:
    for pattern in PATTERNS:
        found = pattern.fullmatch(line)
        if found:
            return [float(part.replace(",", ".")) for part in found.groups()]
    return None
