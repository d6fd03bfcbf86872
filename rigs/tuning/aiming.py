"""Control points of target curves, as they are typed: one pair of Hz and dB a line."""

from collections.abc import Iterable, Sequence

from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import MOST_CHARACTERS

Point = tuple[float, float]

MOST_POINTS = 24
LOWEST_HZ, HIGHEST_HZ = 10.0, 24_000.0
MOST_DB = 24.0


def read_points(text: str) -> list[Point]:
    """The points of typed lines.

    Raises
    ------
    ValidationError
        With a sentence that names the line.
    """
    if len(text) > MOST_CHARACTERS:
        raise ValidationError("That is too long for a target curve.")
    lines = [(n, line) for n, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if not lines:
        raise ValidationError("Write one point at least: 1000, 0.")
    if len(lines) > MOST_POINTS:
        raise ValidationError(f"At most {MOST_POINTS} points; this has {len(lines)}.")
    points = [_point(number, line) for number, line in lines]
    for (before, _), (number, _), (hz, _) in zip(points, lines[1:], points[1:], strict=False):
        if hz <= before:
            raise ValidationError(
                f"Line {number}: frequencies must rise, but {before:g} Hz stands before it."
            )
    return points


def _point(number: int, line: str) -> Point:
    cells = line.replace(",", " ").replace(";", " ").split()
    try:
        hz, level = map(float, cells)
    except ValueError:
        raise ValidationError(f"Line {number}: write Hz and dB, as in 1000, 0.") from None
    if not LOWEST_HZ <= hz <= HIGHEST_HZ:
        raise ValidationError(
            f"Line {number}: a frequency lies from {LOWEST_HZ:g} to {HIGHEST_HZ:g} Hz."
        )
    if not abs(level) <= MOST_DB:
        raise ValidationError(f"Line {number}: a level lies within {MOST_DB:g} dB of 0.")
    return hz, level


def write_points(points: Iterable[Sequence[float]]) -> str:
    """The points as `read_points` takes them."""
    return "\n".join(f"{hz:g}, {level:g}" for hz, level in points)


def points_words(points: Sequence[Sequence[float]]) -> str:
    """The points in one line, for a list."""
    return "; ".join(f"{hz:g} Hz {level:+g} dB" for hz, level in points)
