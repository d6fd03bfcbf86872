"""Where people listen, the room around them and what the show asks for."""

from dataclasses import dataclass
from typing import Literal

from calc.figure import UNKNOWN, Figure

AreaKind = Literal["audience", "stage"]
PlaceKind = Literal["crew", "front row"]


@dataclass(frozen=True, slots=True)
class AudienceArea:
    """A plane of listeners: polygon corners (x, y) in m, seen from above.

    `floor_z_m` is the floor height at the corner that lies lowest along the rake; the floor
    rises by `rake_deg` in the direction `rake_azimuth_deg`. Ears are `ear_height_m` above it.
    A balcony is an area with a high floor. A `kind` of "stage" is drawn and told, but counts
    neither for evenness nor for the audience's exposure.
    """

    name: str
    corners: tuple[tuple[float, float], ...]
    floor_z_m: float
    ear_height_m: float
    rake_deg: float = 0.0
    rake_azimuth_deg: float = 0.0
    kind: AreaKind = "audience"


@dataclass(frozen=True, slots=True)
class ListeningPlace:
    """One pair of ears whose exposure counts: a crew member's place, the front row's middle.

    `z_m` is the height of the ears; `hours` how long somebody stays there at the show's level
    (unknown: the show's own hours).
    """

    name: str
    x_m: float
    y_m: float
    z_m: float
    kind: PlaceKind = "crew"
    hours: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class RoomSurface:
    """A surface of the room with its absorption (0 to 1) in the octaves 125 Hz to 8 kHz.

    `absorption` has seven values, None where unknown.
    """

    name: str
    area_m2: Figure
    absorption: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """The room around the areas; outdoors there is none.

    `decay_s` (measured, 60 dB) and `noise_db` (of the room with people and machines, no music)
    have seven values for the octaves 125 Hz to 8 kHz, None where unknown, or are empty.
    """

    volume_m3: Figure = UNKNOWN
    surfaces: tuple[RoomSurface, ...] = ()
    decay_s: tuple[float | None, ...] = ()
    noise_db: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Show:
    """What the event asks for.

    `target_dba` is the level wished for over the audience, `hours` how long the show is,
    `programme_dbu` the rms level of the programme at the processors' inputs, `speech_dba` the
    mean level of speech over the audience.
    """

    target_dba: Figure = UNKNOWN
    hours: Figure = UNKNOWN
    programme_dbu: Figure = UNKNOWN
    speech_dba: Figure = UNKNOWN


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The air at show time."""

    temperature_c: float = 20.0
    humidity_pct: float = 50.0
    pressure_kpa: float = 101.325
