"""What a coverage page asks calc: the whole sound, a seat, a moved box, the throw."""

import math
from dataclasses import dataclass, replace

import numpy as np

from calc.acoustics.geometry import ear_height, inside_polygon
from calc.acoustics.helpers.towers import Throw, throw
from calc.acoustics.seat import SeatResult, seat
from calc.check import check
from calc.prediction import Prediction
from calc.system import AudienceArea, SystemDescription

EARS_M = 1.6
"""Height of standing ears where no area says one."""

MAIN_WITHIN_M = 5.0
BEYOND_M = 10.0
REFERENCE_M = 10.0


@dataclass(frozen=True, slots=True)
class Asked:
    """The sound of a rig, or why there is none."""

    prediction: Prediction | None = None
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Aim:
    """Where a box stands and looks."""

    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float
    tilt_deg: float


@dataclass(frozen=True, slots=True)
class Seat:
    """A seat's answer; `area` is "" where it lies in none, `fault` why there is no answer."""

    result: SeatResult | None = None
    area: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Carried:
    """How far the main system carries straight ahead, and which boxes were taken for it.

    Followed at the ears of the lowest audience `area`.
    """

    throw: Throw
    main: tuple[str, ...]
    area: str


def sound_of(system: SystemDescription) -> Asked:
    """Check the sound of a description, without its mains and weights."""
    bare = replace(
        system,
        supplies=(),
        circuits=(),
        rack_feeds=(),
        extra_loads=(),
        supports=(),
        microphones=(),
        placements=tuple(replace(box, support="") for box in system.placements),
    )
    try:
        return Asked(check(bare))
    except ValueError as fault:
        return Asked(fault=str(fault))


def with_box_at(system: SystemDescription, name: str, aim: Aim) -> SystemDescription:
    """The description with one box elsewhere. Nothing is stored."""
    boxes = tuple(
        replace(
            box,
            x_m=aim.x_m,
            y_m=aim.y_m,
            z_m=aim.z_m,
            azimuth_deg=aim.azimuth_deg,
            tilt_deg=aim.tilt_deg,
        )
        if box.name == name
        else box
        for box in system.placements
    )
    return replace(system, placements=boxes)


def aim_of(system: SystemDescription, name: str) -> Aim:
    """Where a box stands now."""
    box = next(each for each in system.placements if each.name == name)
    return Aim(box.x_m, box.y_m, box.z_m, box.azimuth_deg, box.tilt_deg)


def seat_at(system: SystemDescription, x_m: float, y_m: float, area_name: str = "") -> Seat:
    """Spectrum and contributions of one seat; its ears are those of the area that it lies in.

    Where the named one does not lie there, the lowest floor; outside of all areas, standing ears.
    """
    here = [area for area in system.areas if _holds(area, x_m, y_m)]
    lowest = min(here, key=lambda each: each.floor_z_m, default=None)
    area = next((each for each in here if each.name == area_name), lowest)
    z_m = EARS_M
    if area is not None:
        z_m = float(ear_height(area, np.array([x_m]), np.array([y_m]))[0])
    try:
        found = seat(system, x_m, y_m, z_m)
    except ValueError as fault:
        return Seat(fault=str(fault))
    if not found.contributions:
        return Seat(fault="No box can be drawn: complete the data sheets and the lines.")
    return Seat(found, area.name if area else "")


def _holds(area: AudienceArea, x_m: float, y_m: float) -> bool:
    return bool(inside_polygon(area.corners, np.array([x_m]), np.array([y_m]))[0])


def carried(system: SystemDescription) -> Carried | None:
    """Follow the main system from the stage's edge along y; None where there is none.

    Taken for the main system: boxes within 5 m of the stage's edge that look at the audience.
    """
    areas = [area for area in system.areas if area.kind == "audience"]
    roles = {sheet.name: sheet.role for sheet in system.loudspeakers}
    main = tuple(
        box.name
        for box in system.placements
        if box.y_m <= MAIN_WITHIN_M
        and math.cos(math.radians(box.azimuth_deg)) > 0
        and roles[box.sheet] != "monitor"
    )
    if not areas or not main:
        return None
    floor = min(areas, key=lambda area: area.floor_z_m)
    farthest = max(y for area in areas for _, y in area.corners)
    if farthest <= REFERENCE_M:
        return None
    try:
        found = throw(
            system,
            0.0,
            0.0,
            floor.floor_z_m + floor.ear_height_m,
            reference_m=REFERENCE_M,
            length_m=min(farthest + BEYOND_M, 1000.0),
            placements=main,
        )
    except ValueError:
        return None
    return Carried(found, main, floor.name)
