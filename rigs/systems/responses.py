"""Measured responses as people paste or upload them: Hz, dB and degrees, one point a line.

`rigs.catalogue.typed_lines` says how columns may be set. Stored as a plain mapping of three lists
of equal length: `frequency_hz`, `level_db`, `phase_deg`.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence

from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import read_rows

Curve = dict[str, list[float]]
NAMES = ("frequency_hz", "level_db", "phase_deg")
LOWEST_HZ, HIGHEST_HZ = 1.0, 100_000.0
LEAST_DB, MOST_DB = -200.0, 200.0
MOST_TURNS_DEG = 10_000_000.0
LEAST_POINTS, MOST_POINTS = 8, 20_000
KEPT_POINTS = 480
"""Of more, so many are kept, equally far apart on a scale of octaves: 48 to the octave."""
LIKE = "write Hz, dB and degrees: 63, 92.4, -118"


def read_measured(text: str) -> Curve:
    """Read a response. Raises ValidationError with a sentence for each of the first bad lines."""
    points = read_rows(text, "a response", (len(NAMES),), LIKE, _point_fault)
    if not LEAST_POINTS <= len(points) <= MOST_POINTS:
        raise ValidationError(
            f"A response has {LEAST_POINTS} to {MOST_POINTS} points; this one has {len(points)}."
        )
    columns = zip(*_thinned(points), strict=True)
    return {name: list(column) for name, column in zip(NAMES, columns, strict=True)}


def write_measured(curve: Mapping[str, Sequence[float]]) -> str:
    """The text that `read_measured` reads."""
    rows = zip(*(curve[name] for name in NAMES), strict=True)
    return "\n".join(", ".join(f"{value:.9g}" for value in row) for row in rows)


def _thinned(points: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """The points next to equal steps of octaves, each once; all where there are few."""
    if len(points) <= KEPT_POINTS:
        return points
    hz = [point[0] for point in points]
    ratio = (hz[-1] / hz[0]) ** (1 / (KEPT_POINTS - 1))
    wanted = (hz[0] * ratio**step for step in range(KEPT_POINTS))
    last = len(points) - 1
    return [points[n] for n in sorted({min(bisect_left(hz, each), last) for each in wanted})]


def _point_fault(hz: float, db: float, degrees: float) -> str:
    if not LOWEST_HZ <= hz <= HIGHEST_HZ:
        return f"a frequency of {hz:g} Hz is not believable; it lies between 1 and 100000 Hz"
    if not LEAST_DB <= db <= MOST_DB:
        return f"a level of {db:g} dB is not believable; it lies between -200 and 200 dB"
    if abs(degrees) > MOST_TURNS_DEG:
        return f"a phase of {degrees:g} degrees is not believable"
    return ""
