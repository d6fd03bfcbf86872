"""Polars as people paste or upload them.

The first line names the bands: `plane, angle, 125, 250, 500`. Each further line is one angle of one
plane, h (horizontal) or v (vertical): `h, 10, -0.2, -0.5, -1.4`. docs/directivity.md says it to
the users.
"""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError

from rigs.catalogue.directivity import (
    LEAST_DB,
    MOST_ANGLES,
    MOST_DB,
    PLANES,
    Plane,
    Polars,
    angles_fault,
    bands_fault,
)
from rigs.catalogue.typed_lines import Line, cells_of, check_length, is_number, told, written_lines

HEADING = "the first line must read plane, angle and then the bands in Hz: plane, angle, 125, 250"
PLANE_OF = {"h": "horizontal", "v": "vertical"}


def read_polars(text: str) -> Polars | None:
    """Read both planes; None if nothing is there.

    Raises ValidationError with a sentence for each of the first lines that cannot be read, else
    for each plane that is not whole.
    """
    check_length(text, "a table of polars")
    lines = list(written_lines(text))
    if not lines:
        return None
    bands = _bands(lines[0])
    planes = {name: _Rows() for name in PLANES}
    faults = [line.saying(fault) for line in lines[1:] if (fault := _take(planes, line, bands))]
    if faults:
        raise ValidationError(told(faults))
    missing = [f"The {name} plane: {f}." for name, rows in planes.items() if (f := rows.fault())]
    if missing:
        raise ValidationError(missing)
    return Polars(bands, planes["horizontal"].plane(), planes["vertical"].plane())


def write_polars(polars: Polars) -> str:
    """The text that `read_polars` reads."""
    lines = [", ".join(["plane", "angle", *(f"{hz:.12g}" for hz in polars.band_hz)])]
    for letter, plane in (("h", polars.horizontal), ("v", polars.vertical)):
        for angle, row in zip(plane.angle_deg, plane.level_db, strict=True):
            lines.append(", ".join([letter, f"{angle:.12g}", *(f"{db:.12g}" for db in row)]))
    return "\n".join(lines)


@dataclass
class _Rows:
    """What was read of one plane."""

    levels: dict[float, tuple[float, ...]] = field(default_factory=dict)

    def fault(self) -> str:
        if not self.levels:
            return "it is missing; give at least 0 to 180 degrees in steps of 5 or 10"
        return angles_fault(list(self.levels))

    def plane(self) -> Plane:
        angles = tuple(sorted(self.levels))
        return Plane(angles, tuple(self.levels[angle] for angle in angles))


def _bands(line: Line) -> tuple[float, ...]:
    words = cells_of(line.text)
    if [word.lower() for word in words[:2]] != ["plane", "angle"]:
        raise ValidationError(line.saying(HEADING))
    bands = words[2:]
    bad = next((word for word in bands if not is_number(word)), None)
    if bad is not None:
        raise ValidationError(line.saying(f"“{bad[:20]}” is no band in Hz"))
    fault = bands_fault([float(word) for word in bands])
    if fault:
        raise ValidationError(line.saying(fault))
    return tuple(map(float, bands))


def _take(planes: dict[str, _Rows], line: Line, bands: tuple[float, ...]) -> str:
    plane, *numbers = cells_of(line.text)
    name = PLANE_OF.get(plane.strip().lower()[:1], "")
    if not name:
        return "it must begin with h or v, for the horizontal or the vertical plane"
    if len(numbers) != len(bands) + 1:
        wanted = f"{len(bands) + 1} numbers, the angle and a level for each band"
        return f"it needs {wanted}; it has {len(numbers)}"
    bad = next((cell for cell in numbers if not is_number(cell)), None)
    if bad is not None:
        return f"“{bad[:20]}” is no number"
    angle, *levels = map(float, numbers)
    return _row_fault(planes[name], angle, tuple(levels))


def _row_fault(rows: _Rows, angle: float, levels: tuple[float, ...]) -> str:
    if not -180 <= angle <= 360:
        return f"an angle of {angle:g} degrees cannot be; it lies between -180 and 360"
    if angle in rows.levels:
        return f"{angle:g} degrees stands above already"
    if len(rows.levels) >= MOST_ANGLES:
        return f"a plane has at most {MOST_ANGLES} angles"
    for db in levels:
        if not LEAST_DB <= db <= MOST_DB:
            return f"a level of {db:g} dB is not believable"
    rows.levels[angle] = levels
    return ""
