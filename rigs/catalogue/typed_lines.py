"""Tables as people paste or upload them: lines, cells, numbers, and what to say of a bad one.

Between cells stand commas, semicolons or tabs; beside semicolons and tabs a comma is the decimal
sign. Lines that begin with # and empty lines count for nothing.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from django.core.exceptions import ValidationError

MOST_CHARACTERS = 200_000
MOST_FAULTS = 5
SHOWN = 40
NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Line:
    """One line that says something, and which it is, counted from 1."""

    number: int
    text: str

    def saying(self, fault: str) -> str:
        """The sentence about what is wrong with it."""
        return f"Line {self.number}, “{short(self.text)}”: {fault}."


def check_length(text: str, what: str) -> None:
    """Raise ValidationError if there is too much to be `what`."""
    if len(text) > MOST_CHARACTERS:
        raise ValidationError(f"This is too long for {what}: at most {MOST_CHARACTERS} characters.")


def decode(content: bytes, what: str) -> str:
    """The text of an uploaded file. Raises ValidationError if it can be none."""
    if len(content) > MOST_CHARACTERS:
        raise ValidationError(
            f"This file is too large for {what}: at most {MOST_CHARACTERS} bytes."
        )
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    text = content.decode("utf-16" if wide else "utf-8-sig", errors="replace")
    if "\0" in text or text.count("\ufffd") > len(text) / 20:
        raise ValidationError("This is no text file. Save it as CSV, then upload that.")
    return text


def written_lines(text: str) -> Iterator[Line]:
    """Lines that are neither empty nor a remark."""
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        line = line.strip()
        if line and not line.startswith("#"):
            yield Line(number, line)


def data_lines(text: str) -> Iterator[Line]:
    """The same without headings: lines of words above the first line with a number."""
    started = False
    for line in written_lines(text):
        started = started or any(map(starts_a_number, cells_of(line.text)))
        if started:
            yield line


Row = tuple[float, ...]


def read_rows(
    text: str,
    what: str,
    columns: Sequence[int],
    like: str,
    fault_of: Callable[..., str],
    cells: Callable[[str], list[str]] | None = None,
) -> list[Row]:
    """Rows of numbers whose first one, a frequency, rises from line to line.

    `what` is what they shall be, `columns` how many a row may have, `like` says how to write one.
    `fault_of` gets the numbers of a row and says what is wrong with them, "" if nothing is.
    `cells` cuts a line up, where not as `cells_of` does.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    check_length(text, what)
    rows: list[Row] = []
    faults: list[str] = []
    for line in data_lines(text):
        found = (cells or cells_of)(line.text)
        if len(found) not in columns or not all(map(is_number, found)):
            faults.append(line.saying(like))
            continue
        row = tuple(map(float, found))
        fault = fault_of(*row)
        if not fault and rows and row[0] <= rows[-1][0]:
            fault = f"frequencies must rise, but {rows[-1][0]:g} Hz stands before it"
        if fault:
            faults.append(line.saying(fault))
        else:
            rows.append(row)
    if faults:
        raise ValidationError(told(faults))
    return rows


def cells_of(line: str) -> list[str]:
    """The cells of a line; a decimal comma becomes a point where it cannot be a separator."""
    separator = next((mark for mark in ";\t" if mark in line), ",")
    cells = [cell.strip().strip('"').strip() for cell in line.split(separator)]
    while cells and not cells[-1]:
        cells.pop()
    return [cell.replace(",", ".") for cell in cells] if separator != "," else cells


def is_number(cell: str) -> bool:
    """Whether a cell is a plain number."""
    return bool(NUMBER.fullmatch(cell))


def starts_a_number(cell: str) -> bool:
    """Whether a cell was meant as a number."""
    return bool(NUMBER.match(cell)) or cell.lower().lstrip("+-") in ("nan", "inf", "infinity")


def told(faults: list[str]) -> list[str]:
    """The first faults, and how many there are beyond them."""
    more = len(faults) - MOST_FAULTS
    rest = [f"{more} more line{'s' if more > 1 else ''} can't be read."] if more > 0 else []
    return faults[:MOST_FAULTS] + rest


def short(line: str) -> str:
    """A line as it can be shown in a sentence."""
    printable = "".join(c if c.isprintable() else "�" for c in line[: SHOWN + 1])
    return printable if len(printable) <= SHOWN else printable[: SHOWN - 1] + "…"
