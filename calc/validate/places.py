"""Things in the space that cannot be: placements, areas, supports."""

from collections.abc import Iterator

from calc.acoustics.geometry import crosses_itself, polygon_area_m2
from calc.system import (
    AudienceArea,
    ExtraLoad,
    Placement,
    StageMicrophone,
    Support,
    SystemDescription,
)
from calc.validate.ranges import PLACE, TURN, ZERO_UP, numbers
from calc.words import number


def placement(placement: Placement) -> Iterator[str]:
    """A position and an aim that can be."""
    ranges = {
        "x_m": PLACE, "y_m": PLACE, "z_m": PLACE, "azimuth_deg": TURN, "tilt_deg": (-90.0, 90.0),
        "roll_deg": TURN,
    }  # fmt: skip
    yield from numbers(placement, ranges, f"Placement '{placement.name}'")


def microphone(part: StageMicrophone) -> Iterator[str]:
    """A position, an aim and a source's distance that can be."""
    ranges = {
        "x_m": PLACE, "y_m": PLACE, "z_m": PLACE, "azimuth_deg": TURN, "tilt_deg": (-90.0, 90.0),
        "source_m": (0.01, 20.0), "equivalent_m": (0.05, 100.0),
    }  # fmt: skip
    yield from numbers(part, ranges, f"Stage microphone '{part.name}'")


def microphone_references(system: SystemDescription) -> Iterator[str]:
    """Drive lines that are not there."""
    lines = {line.name for line in system.drive_lines}
    for part in system.microphones:
        for name in part.not_played_by:
            if name not in lines:
                yield f"Stage microphone '{part.name}': there is no drive line '{name}'."


def area(area: AudienceArea) -> Iterator[str]:
    """An outline with a surface, heights that can be."""
    label = f"Area '{area.name}'"
    if len(area.corners) < 3:
        yield f"{label} needs at least three corners."
    elif crosses_itself(area.corners):
        yield f"{label}: its outline crosses itself. Put the corners in their order around it."
    elif polygon_area_m2(area.corners) < 1e-6:
        yield f"{label} has no surface."
    if any(abs(value) > PLACE[1] for corner in area.corners for value in corner):
        yield f"{label}: its corners must lie within {number(PLACE[1])} m."
    ranges = {
        "floor_z_m": PLACE,
        "ear_height_m": (0.0, 10.0),
        "rake_deg": (-60.0, 60.0),
        "rake_azimuth_deg": TURN,
    }
    yield from numbers(area, ranges, label)


def support(part: Support) -> Iterator[str]:
    """A limit that can be."""
    yield from numbers(part, {"limit_kg": ZERO_UP}, f"Support '{part.name}'")


def extra_load(part: ExtraLoad) -> Iterator[str]:
    """A mass that can be."""
    yield from numbers(part, {"mass_kg": ZERO_UP}, f"Extra load '{part.name}'")


def support_references(system: SystemDescription) -> Iterator[str]:
    """Boxes and loads on supports that are not there."""
    names = {part.name for part in system.supports}
    for box in system.placements:
        if box.support and box.support not in names:
            yield f"Placement '{box.name}': there is no support '{box.support}'."
    for load in system.extra_loads:
        if load.support not in names:
            yield f"Extra load '{load.name}': there is no support '{load.support}'."
