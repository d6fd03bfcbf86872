"""Surfaces of a room as people paste them: name; area in m²; absorption at 125 Hz ... 8 kHz.

Between cells stand semicolons, tabs or commas; beside the first two a comma is the decimal sign. An
empty cell is unknown. Lines that begin with # and empty lines count for nothing, as does a first
line without any number.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import ValidationError

from venues.models import RoomSurface
from venues.octaves import OCTAVES, octaves_fault, or_none

MOST_SURFACES = 100
MOST_CHARACTERS = 50_000
MOST_FAULTS = 5
STARTS = frozenset("+-.0123456789")
LIKE = "write name; area in m²; seven absorptions from 125 Hz to 8 kHz"


@dataclass(frozen=True, slots=True)
class Row:
    """One surface as typed."""

    name: str
    area_m2: float | None
    absorption: list[float | None]


def read_surfaces(text: str) -> list[Row]:
    """Read a surface a line. Raises ValidationError with a sentence for each bad line."""
    if len(text) > MOST_CHARACTERS:
        raise ValidationError(f"This is too long: at most {MOST_CHARACTERS} characters.")
    rows: dict[str, Row] = {}
    faults: list[str] = []
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        cells = _cells(line)
        if not line.strip() or line.lstrip().startswith("#") or _is_heading(cells, rows, faults):
            continue
        try:
            row = _row(cells)
            if row.name.casefold() in rows:
                raise ValueError("this surface stands above already")
            rows[row.name.casefold()] = row
        except ValueError as fault:
            faults.append(f"Line {number}: {fault}.")
    if faults:
        raise ValidationError(faults[:MOST_FAULTS])
    if not rows and text.strip():  # words alone take nothing away
        raise ValidationError(f"No surface stands here: {LIKE}.")
    if len(rows) > MOST_SURFACES:
        raise ValidationError(f"A room may have at most {MOST_SURFACES} surfaces.")
    return list(rows.values())


def write_surfaces(surfaces: Iterable[RoomSurface]) -> str:
    """The text that `read_surfaces` reads."""
    return "\n".join(
        "; ".join(
            [s.name.replace(";", ","), _written(s.area_m2), *map(_written, s.absorption)]
        ).rstrip("; ")
        for s in surfaces
    )


def _cells(line: str) -> list[str]:
    separator = next((mark for mark in ";\t" if mark in line), ",")
    cells = [cell.strip().strip('"').strip() for cell in line.split(separator)]
    return cells if separator == "," else [cells[0], *(c.replace(",", ".") for c in cells[1:])]


def _is_heading(cells: list[str], rows: dict[str, Row], faults: list[str]) -> bool:
    words = [cell for cell in cells[1:] if cell]
    return not rows and not faults and bool(words) and not any(c[0] in STARTS for c in words)


def _row(cells: list[str]) -> Row:
    while cells and not cells[-1]:
        cells = cells[:-1]
    if not cells or not cells[0] or len(cells) > 2 + len(OCTAVES):
        raise ValueError(LIKE)
    name = cells[0]
    if len(name) > 60 or not name.isprintable():
        raise ValueError("a name has at most 60 printable characters")
    numbers = [_number(cell) for cell in cells[1:]]
    numbers += [None] * (1 + len(OCTAVES) - len(numbers))
    area, *absorption = numbers
    if area is not None and not 0.01 <= area <= 1_000_000:
        raise ValueError(f"an area of {area:g} m² is not believable")
    fault = octaves_fault(absorption, 0, 1, "")
    if fault:
        raise ValueError(fault.removesuffix("."))
    return Row(name, area, or_none(absorption))


def _number(cell: str) -> float | None:
    if not cell:
        return None
    try:
        value = float(cell)
    except ValueError:
        raise ValueError(f"“{cell[:20]}” is no number; {LIKE}") from None
    if not math.isfinite(value):
        raise ValueError(f"“{cell[:20]}” is no number; {LIKE}")
    return value


def _written(value: float | None) -> str:
    return "" if value is None else f"{value:.12g}"
