"""The response on the axis: what can be one, and how people paste one.

It is the level at 1 m for the drive that the sensitivity is stated for. Stored as a plain
mapping of lists: `frequency_hz`, `level_db`, and where somebody measured it `phase_deg`, with the
box's own arrival taken out.
"""

from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

from django.core.exceptions import ValidationError

from rigs.catalogue.numbers import are_numbers
from rigs.catalogue.typed_lines import read_rows

LOWEST_HZ, HIGHEST_HZ = 1.0, 100_000.0
LEAST_DB, MOST_DB = -100.0, 180.0
MOST_POINTS = 2000
MOST_DEG = 36_000.0
LIKE = "write Hz and dB, and degrees if you have them: 125, 98.5, -40"
LISTS = "A response has lists of numbers: frequency_hz, level_db, and phase_deg if it is known."


@dataclass(frozen=True, slots=True)
class Response:
    """Level in dB over rising frequency in Hz; phase in degrees for each, or none at all."""

    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()

    @classmethod
    def from_plain(cls, stored: dict[str, Any]) -> "Response":
        """The response that is stored; `response_fault` says whether it can be one."""
        return cls(*(tuple(float(v) for v in stored.get(name, ())) for name in cls.__slots__))

    def to_plain(self) -> dict[str, list[float]]:
        """As it is stored."""
        return {name: list(values) for name, values in asdict(self).items()}


def response_fault(stored: object) -> str:
    """Say what is wrong with a stored response; "" if nothing is."""
    if not isinstance(stored, dict) or set(stored) | {"phase_deg"} != set(Response.__slots__):
        return LISTS
    hz, db, deg = stored["frequency_hz"], stored["level_db"], stored.get("phase_deg", [])
    if not all(map(are_numbers, (hz, db, deg))):
        return LISTS
    if not 2 <= len(hz) <= MOST_POINTS or len(db) != len(hz):
        return f"A response has 2 to {MOST_POINTS} points, one level for each frequency."
    if deg and len(deg) != len(hz):
        return "A response has one phase for each frequency, or none at all."
    for number, point in enumerate(zip(hz, db, deg or [0.0] * len(hz), strict=True), start=1):
        fault = _point_fault(*point)
        if fault:
            return f"Point {number}: {fault}."
    if any(after <= before for before, after in pairwise(hz)):
        return "The frequencies of a response must rise from point to point."
    return ""


def read_response(text: str) -> Response | None:
    """Read lines of Hz, dB and perhaps degrees; None if nothing is there.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    points = read_rows(text, "a response", (2, 3), LIKE, _point_fault)
    if len({len(point) for point in points}) > 1:
        raise ValidationError("Write degrees on every line, or on none.")
    if len(points) == 1:
        raise ValidationError("A response needs at least two points.")
    if len(points) > MOST_POINTS:
        raise ValidationError(f"A response has at most {MOST_POINTS} points.")
    return Response(*zip(*points, strict=True)) if points else None


def write_response(response: Response) -> str:
    """The text that `read_response` reads."""
    columns = [response.frequency_hz, response.level_db, response.phase_deg]
    points = zip(*(column for column in columns if column), strict=True)
    return "\n".join(", ".join(f"{value:.12g}" for value in point) for point in points)


def _point_fault(hz: float, db: float, deg: float = 0.0) -> str:
    if not LOWEST_HZ <= hz <= HIGHEST_HZ:
        return f"a frequency of {hz:g} Hz is not believable; it lies between 1 and 100000 Hz"
    if not LEAST_DB <= db <= MOST_DB:
        return f"a level of {db:g} dB is not believable; it lies between -100 and 180 dB"
    if abs(deg) > MOST_DEG:
        return f"a phase of {deg:g}° is not believable; it lies within {MOST_DEG:g}° of 0"
    return ""
