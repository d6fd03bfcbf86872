"""What was measured of a way's directivity: polars in two planes, or a whole balloon.

Stored as plain mappings of lists that name their `kind`. Levels are dB re the axis or re
anything; what they mean in between is `calc`'s business.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from itertools import pairwise
from typing import Any, ClassVar

from rigs.catalogue.numbers import are_numbers, is_list

LOWEST_HZ, HIGHEST_HZ = 1.0, 100_000.0
LEAST_DB, MOST_DB = -300.0, 200.0
MOST_BANDS = 100
MOST_ANGLES = 80
STEPS_DEG = (5.0, 10.0)
PLANES = ("horizontal", "vertical")

Rows = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Plane:
    """One polar diagram: a row of levels (one for each band) at each angle from the axis.

    Angles from 0 to 180 (symmetrical), or all round; positive is to the right, and up.
    """

    angle_deg: tuple[float, ...]
    level_db: Rows


@dataclass(frozen=True, slots=True)
class Polars:
    """Horizontal and vertical polar diagrams in rising bands."""

    kind: ClassVar[str] = "polars"
    band_hz: tuple[float, ...]
    horizontal: Plane
    vertical: Plane

    def to_plain(self) -> dict[str, Any]:
        """As it is stored."""
        return {"kind": self.kind} | asdict(self)


@dataclass(frozen=True, slots=True)
class Balloon:
    """Level and phase (bands, azimuths, polars) all round, as `calc` has read a measured file."""

    kind: ClassVar[str] = "balloon"
    band_hz: tuple[float, ...]
    azimuth_deg: tuple[float, ...]
    polar_deg: tuple[float, ...]
    level_db: tuple[Rows, ...]
    phase_deg: tuple[Rows, ...] = field(default=())
    file_name: str = ""

    def to_plain(self) -> dict[str, Any]:
        """As it is stored."""
        return {"kind": self.kind} | asdict(self)


def from_plain(stored: dict[str, Any]) -> Polars | Balloon:
    """What is stored; `directivity_fault` says whether it can be one."""
    band = tuple(map(float, stored["band_hz"]))
    if stored["kind"] == Polars.kind:
        planes = (stored[name] for name in PLANES)
        return Polars(
            band, *(Plane(tuple(map(float, p["angle_deg"])), _rows(p["level_db"])) for p in planes)
        )
    return Balloon(
        band,
        tuple(map(float, stored["azimuth_deg"])),
        tuple(map(float, stored["polar_deg"])),
        tuple(map(_rows, stored["level_db"])),
        tuple(map(_rows, stored["phase_deg"])),
        str(stored.get("file_name", "")),
    )


def _rows(stored: Sequence[Sequence[float]]) -> Rows:
    return tuple(tuple(map(float, row)) for row in stored)


def directivity_fault(stored: object) -> str:
    """Say what is wrong with a stored directivity; "" if nothing is."""
    if not isinstance(stored, dict) or stored.get("kind") not in (Polars.kind, Balloon.kind):
        return "A directivity is either polars in two planes or a balloon."
    bands = stored.get("band_hz")
    if not are_numbers(bands):
        return "The bands must be numbers in Hz."
    fault = bands_fault(bands)
    if fault:
        return fault[0].upper() + fault[1:] + "."
    if stored["kind"] == Polars.kind:
        return next(filter(None, (_plane_fault(stored, name) for name in PLANES)), "")
    return _balloon_fault(stored)


def bands_fault(bands: Sequence[float]) -> str:
    """What is wrong with the bands of a directivity; "" if nothing is."""
    if not 1 <= len(bands) <= MOST_BANDS:
        return f"there must be 1 to {MOST_BANDS} bands"
    for hz in bands:
        if not LOWEST_HZ <= hz <= HIGHEST_HZ:
            return f"a band of {hz:g} Hz is not believable; it lies between 1 and 100000 Hz"
    falls = next((pair for pair in pairwise(bands) if pair[1] <= pair[0]), None)
    return f"the bands must rise, but {falls[1]:g} follows {falls[0]:g} Hz" if falls else ""


def angles_fault(angles: Sequence[float]) -> str:
    """What is missing from one plane's angles (deg); "" if nothing is.

    Whole are 0 to 180, or all round, in steps of 5 or of 10.
    """
    turned = sorted({180 - (180 - angle) % 360 for angle in angles})  # 180 rather than -180
    if len(turned) != len(angles):
        doubled = len(angles) - len(turned) == 1 and {-180, 180} <= set(angles)
        if not doubled:
            return "an angle stands there twice"
    if 0 not in turned:
        return "the axis is missing: give the level at 0 degrees"
    if turned[0] < 0:
        return side_fault([a for a in turned if a >= 0]) or side_fault(
            [-a for a in reversed(turned) if a <= 0] + [180] * (180 in turned)
        )
    return side_fault(turned)


def side_fault(angles: Sequence[float]) -> str:
    """What is missing between 0 and 180 degrees on one side; angles rise from 0."""
    step = angles[1] - angles[0] if len(angles) > 1 else 0
    if step not in STEPS_DEG:
        return "angles must go in steps of 5 or 10 degrees, up to 180"
    wanted = [n * step for n in range(int(180 / step) + 1)]
    missing = next((angle for angle in wanted if angle not in angles), None)
    if missing is not None:
        return f"{missing:g} degrees is missing: angles go in steps of {step:g} up to 180"
    odd = next((angle for angle in angles if angle not in wanted), None)
    return f"{odd:g} degrees lies between the steps of {step:g}" if odd is not None else ""


def _plane_fault(stored: dict[str, Any], name: str) -> str:
    plane = stored.get(name)
    if not isinstance(plane, dict) or not are_numbers(plane.get("angle_deg")):
        return f"The {name} polar needs its angles in degrees."
    angles, count = plane["angle_deg"], len(stored["band_hz"])
    if not _is_table(plane.get("level_db"), len(angles), count):
        return f"The {name} polar needs one row of {count} levels for each of its angles."
    fault = angles_fault(angles)
    return f"The {name} polar: {fault}." if fault else ""


def _balloon_fault(stored: dict[str, Any]) -> str:
    azimuths, polars = stored.get("azimuth_deg"), stored.get("polar_deg")
    if not are_numbers(azimuths) or not are_numbers(polars) or not azimuths or not polars:
        return "A balloon needs its azimuths and polar angles in degrees."
    for name in ("level_db", "phase_deg"):
        table = stored.get(name)
        if name == "phase_deg" and is_list(table) and not table:
            continue
        if not is_list(table) or len(table) != len(stored["band_hz"]):
            return f"A balloon needs its {name} for each band."
        if not all(_is_table(rows, len(azimuths), len(polars)) for rows in table):
            return f"A balloon needs one {name} for each azimuth and polar angle."
    return ""


def _is_table(rows: object, high: int, wide: int) -> bool:
    return (
        is_list(rows)
        and len(rows) == high
        and all(are_numbers(row) and len(row) == wide for row in rows)
        and all(LEAST_DB - 360 <= value <= MOST_DB + 360 for row in rows for value in row)
    )
