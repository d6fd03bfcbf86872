"""Impedance curves as people paste or upload them: one point a line.

Columns: Hz, ohm, and degrees where the phase is known; between them commas, semicolons or tabs.
Beside semicolons and tabs a comma is the decimal sign. A line of words above the first point,
lines that begin with # and empty lines count for nothing.
"""

import re

from django.core.exceptions import ValidationError

from rigs.catalogue.impedance import MOST_POINTS, Curve, value_fault

MOST_CHARACTERS = 200_000
MOST_FAULTS = 5
SHOWN = 40
NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?", re.ASCII)
LIKE = "write Hz, ohm and, where known, degrees: 63, 8.2, -31"

Point = tuple[float, float, float | None]


def read_curve(text: str) -> Curve | None:
    """Read a curve; None if nothing is there.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    if len(text) > MOST_CHARACTERS:
        raise ValidationError(
            f"This is too long for an impedance curve: at most {MOST_CHARACTERS} characters."
        )
    reading = _Reading()
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        reading.take(number, line)
    if reading.faults:
        raise ValidationError(reading.sentences())
    return reading.curve()


def decode(content: bytes) -> str:
    """The text of an uploaded file. Raises ValidationError if it can be none."""
    if len(content) > MOST_CHARACTERS:
        raise ValidationError(
            f"This file is too large for an impedance curve: at most {MOST_CHARACTERS} bytes."
        )
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    text = content.decode("utf-16" if wide else "utf-8-sig", errors="replace")
    if "\0" in text or text.count("\ufffd") > len(text) / 20:
        raise ValidationError("This is no text file. Save the curve as CSV, then upload that.")
    return text


def write_curve(curve: Curve) -> str:
    """The text that `read_curve` reads."""
    return "\n".join(
        ", ".join(f"{value:.12g}" for value in point if value is not None)
        for point in curve.points()
    )


class _Reading:
    """What was read so far, and what could not be."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self.faults: list[str] = []
        self.unread = False
        self.line_of_last = 0
        self.with_phase: int | None = None  # the first line of either sort, to name in a fault
        self.without_phase: int | None = None

    def take(self, number: int, line: str) -> None:
        line = line.strip()
        if not line or line.startswith("#"):
            return
        cells = _cells(line)
        if not self.points and not self.unread and not any(map(_starts_a_number, cells)):
            return  # a heading
        fault = self._point(number, cells) or ""
        if fault:
            self.unread = True
            self.faults.append(f"Line {number}, “{_short(line)}”: {fault}.")

    def _point(self, number: int, cells: list[str]) -> str:
        if len(cells) not in (2, 3) or not all(map(NUMBER.fullmatch, cells)):
            return LIKE
        hz, ohm, *phase = map(float, cells)
        degrees = phase[0] if phase else None
        fault = value_fault(hz, ohm, degrees) or self._order_fault(hz) or self._phase_fault(phase)
        if fault:
            return fault
        if len(self.points) == MOST_POINTS:
            return f"a curve has at most {MOST_POINTS} points"
        self.points.append((hz, ohm, degrees))
        self.line_of_last = number
        if phase:
            self.with_phase = self.with_phase or number
        else:
            self.without_phase = self.without_phase or number
        return ""

    def _order_fault(self, hz: float) -> str:
        if self.points and hz <= self.points[-1][0]:
            return (
                f"frequencies must rise, but line {self.line_of_last} has {self.points[-1][0]:g} Hz"
            )
        return ""

    def _phase_fault(self, phase: list[float]) -> str:
        if phase and self.without_phase:
            return f"it has a phase, line {self.without_phase} has none: give it always or never"
        if not phase and self.with_phase:
            return f"it has no phase, line {self.with_phase} has one: give it always or never"
        return ""

    def sentences(self) -> list[str]:
        more = len(self.faults) - MOST_FAULTS
        rest = [f"{more} more line{'s' if more > 1 else ''} can't be read."] if more > 0 else []
        return self.faults[:MOST_FAULTS] + rest

    def curve(self) -> Curve | None:
        if not self.points:
            return None
        if len(self.points) == 1:
            raise ValidationError("A curve needs at least two points.")
        hz, ohm, phase = zip(*self.points, strict=True)
        return Curve(hz, ohm, phase if self.with_phase else ())


def _cells(line: str) -> list[str]:
    """The cells of a line; a decimal comma becomes a point where it cannot be a separator."""
    separator = next((mark for mark in ";\t" if mark in line), ",")
    cells = [cell.strip().strip('"').strip() for cell in line.split(separator)]
    while cells and not cells[-1]:
        cells.pop()
    return [cell.replace(",", ".") for cell in cells] if separator != "," else cells


def _starts_a_number(cell: str) -> bool:
    return bool(NUMBER.match(cell)) or cell.lower().lstrip("+-") in ("nan", "inf", "infinity")


def _short(line: str) -> str:
    printable = "".join(c if c.isprintable() else "�" for c in line[: SHOWN + 1])
    return printable if len(printable) <= SHOWN else printable[: SHOWN - 1] + "…"
