"""The response on the axis: what can be one, and how people paste one.

It is the level at 1 m for the drive that the sensitivity is stated for. Stored as a plain
mapping of two lists: `frequency_hz`, `level_db`.
"""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

from django.core.exceptions import ValidationError

from rigs.catalogue.numbers import are_numbers
from rigs.catalogue.typed_lines import Line, cells_of, check_length, data_lines, is_number, told

LOWEST_HZ, HIGHEST_HZ = 1.0, 100_000.0
LEAST_DB, MOST_DB = -100.0, 180.0
MOST_POINTS = 2000
LIKE = "write Hz and dB: 125, 98.5"


@dataclass(frozen=True, slots=True)
class Response:
    """Level in dB over rising frequency in Hz."""

    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]

    @classmethod
    def from_plain(cls, stored: dict[str, Any]) -> "Response":
        """The response that is stored; `response_fault` says whether it can be one."""
        return cls(*(tuple(float(v) for v in stored[name]) for name in cls.__slots__))

    def to_plain(self) -> dict[str, list[float]]:
        """As it is stored."""
        return {name: list(values) for name, values in asdict(self).items()}


def response_fault(stored: object) -> str:
    """Say what is wrong with a stored response; "" if nothing is."""
    if not isinstance(stored, dict) or set(stored) != set(Response.__slots__):
        return "A response has two lists of numbers: frequency_hz, level_db."
    hz, db = stored["frequency_hz"], stored["level_db"]
    if not are_numbers(hz) or not are_numbers(db):
        return "A response has two lists of numbers: frequency_hz, level_db."
    if not 2 <= len(hz) <= MOST_POINTS or len(db) != len(hz):
        return f"A response has 2 to {MOST_POINTS} points, one level for each frequency."
    for number, point in enumerate(zip(hz, db, strict=True), start=1):
        fault = _point_fault(*point)
        if fault:
            return f"Point {number}: {fault}."
    if any(after <= before for before, after in pairwise(hz)):
        return "The frequencies of a response must rise from point to point."
    return ""


def read_response(text: str) -> Response | None:
    """Read lines of Hz and dB; None if nothing is there.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    check_length(text, "a response")
    points: list[tuple[float, float]] = []
    faults: list[str] = []
    for line in data_lines(text):
        fault = _take(points, line)
        if fault:
            faults.append(line.saying(fault))
    if faults:
        raise ValidationError(told(faults))
    if len(points) == 1:
        raise ValidationError("A response needs at least two points.")
    if len(points) > MOST_POINTS:
        raise ValidationError(f"A response has at most {MOST_POINTS} points.")
    return Response(*zip(*points, strict=True)) if points else None


def write_response(response: Response) -> str:
    """The text that `read_response` reads."""
    points: Iterable[tuple[float, float]] = zip(
        response.frequency_hz, response.level_db, strict=True
    )
    return "\n".join(f"{hz:.12g}, {db:.12g}" for hz, db in points)


def _take(points: list[tuple[float, float]], line: Line) -> str:
    cells = cells_of(line.text)
    if len(cells) != 2 or not all(map(is_number, cells)):
        return LIKE
    hz, db = map(float, cells)
    fault = _point_fault(hz, db)
    if not fault and points and hz <= points[-1][0]:
        fault = f"frequencies must rise, but {points[-1][0]:g} Hz stands before it"
    if not fault:
        points.append((hz, db))
    return fault


def _point_fault(hz: float, db: float) -> str:
    if not LOWEST_HZ <= hz <= HIGHEST_HZ:
        return f"a frequency of {hz:g} Hz is not believable; it lies between 1 and 100000 Hz"
    if not LEAST_DB <= db <= MOST_DB:
        return f"a level of {db:g} dB is not believable; it lies between -100 and 180 dB"
    return ""
