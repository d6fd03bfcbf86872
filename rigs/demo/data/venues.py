"""Four invented venues. Their zones are real ones, so that clocks do change at three of them."""

from dataclasses import dataclass, field

Corner = tuple[float, float]


@dataclass(frozen=True)
class Area:
    name: str
    corners: tuple[Corner, ...]
    floor_z: float = 0
    ear: float = 1.6
    rake: float = 0
    kind: str = "audience"


@dataclass(frozen=True)
class Place:
    """A pair of ears that is watched over."""

    name: str
    x: float
    y: float
    z: float = 1.6
    kind: str = "crew"
    hours: float | None = None


@dataclass(frozen=True)
class Surface:
    """A surface of a room; absorption in the octaves 125 Hz to 8 kHz."""

    name: str
    area_m2: float | None
    absorption: tuple[float | None, ...]


@dataclass(frozen=True)
class Supply:
    name: str
    phases: int
    amps: float | None
    volts: float | None = 230
    generator: bool = False


@dataclass(frozen=True)
class Circuit:
    """A socket with its own breaker."""

    name: str
    supply: str
    phase: int | None
    amps: float | None


@dataclass(frozen=True)
class Point:
    name: str
    x: float
    y: float
    z: float
    limit_kg: float | None


@dataclass(frozen=True)
class SpacePlan:
    name: str
    areas: tuple[Area, ...]
    supplies: tuple[Supply, ...]
    points: tuple[Point, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    indoors: bool = True
    volume_m3: float | None = None
    decay_s: tuple[float | None, ...] = ()
    noise_db: tuple[float | None, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    places: tuple[Place, ...] = ()


@dataclass(frozen=True)
class VenuePlan:
    name: str
    town: str
    zone: str
    spaces: tuple[SpacePlan, ...]
    notes: str = field(default="")


def one_each(name: str, supply: str, amps: float) -> tuple[Circuit, ...]:
    """A circuit on each of three phases."""
    return tuple(Circuit(f"{name} {phase}", supply, phase, amps) for phase in (1, 2, 3))


def block(x: float, near: float, far: float) -> tuple[Corner, ...]:
    """Corners of a rectangle that is symmetrical about the middle."""
    return ((-x, near), (x, near), (x, far), (-x, far))


HALL = VenuePlan(
    "Ottersgate Hall", "Quernhaven", "Europe/London",
    (
        SpacePlan(
            "Great hall",
            (
                Area("Stalls", block(8, 4, 13)),
                Area("Rear stalls", block(8, 13, 21), ear=1.2),
                Area("Balcony", block(8, 17, 24), floor_z=4.6, ear=1.2, rake=24),
                Area("Stage", block(6, -7, 0), floor_z=1.1, kind="stage"),
            ),
            (Supply("Stage left", 3, 63), Supply("House sockets", 1, 16)),
            (
                Point("Front left", -6.5, 0.8, 8.4, 250),
                Point("Front right", 6.5, 0.8, 8.4, 250),
                Point("Centre", 0, 0.8, 8.6, 100),
                Point("Rear bar", 0, 12, 8.2, None),
            ),
            circuits=(
                *one_each("Stage", "Stage left", 32),
                Circuit("House 1", "House sockets", 1, 16),
                Circuit("House 2", "House sockets", 1, None),
            ),
            volume_m3=5200,
            decay_s=(1.9, 1.8, 1.6, 1.6, 1.5, 1.2, 0.9),
            noise_db=(46, 42, 38, 35, 31, 27, 23),
            surfaces=(
                Surface("Floor and seats, taken", 360, (0.36, 0.48, 0.62, 0.72, 0.74, 0.7, 0.66)),
                Surface("Plaster walls, ceiling", 1500, (0.1, 0.07, 0.05, 0.05, 0.05, 0.05, None)),
                Surface("Stage opening", 84, (0.3, 0.35, 0.4, 0.45, 0.45, 0.5, 0.5)),
            ),
            places=(
                Place("Mixing position", 0, 19.5, 1.3),
                Place("Stage left wing", -7, -3, 2.7),
                Place("Front row, middle", 0, 4.5, 1.6, "front row"),
            ),
        ),
    ),
    "Load-in by the river door, 2.4 m high. Nobody lifts before the house technician is there.",
)  # fmt: skip

CLUB = VenuePlan(
    "The Salt Cellar", "Skarvik", "Atlantic/Reykjavik",
    (
        SpacePlan(
            "Cellar floor",
            (Area("Dance floor", block(4.5, 2.5, 9)), Area("Bar end", block(4.5, 9, 13))),
            (Supply("Stage board", 3, 32), Supply("Bar sockets", 1, 16)),
            (Point("Beam", 0, 1, 3.1, None),),
            circuits=(*one_each("Board", "Stage board", 32), Circuit("Bar", "Bar sockets", 1, 16)),
            volume_m3=480,
            decay_s=(1.3, 1.0, 0.8, 0.8, 0.7, 0.6, 0.5),
            noise_db=(58, 56, 55, 52, 48, 43, 38),
            places=(
                Place("Mixing position", 3.6, 8.2),
                Place("Behind the bar", 0, 13.6, hours=8),
                Place("Front row, middle", 0, 2.7, 1.6, "front row"),
            ),
        ),
    ),
    "Fourteen steps down, no lift. The clocks never change here.",
)  # fmt: skip

FIELD = VenuePlan(
    "Quay Meadow", "Tidebury", "Europe/London",
    (
        SpacePlan(
            "Meadow",
            (
                Area("Front", block(11, 5, 12)),
                Area("Middle", block(14, 12, 24)),
                Area("Back", block(15, 29, 44)),
            ),
            (Supply("Generator", 3, 63, generator=True),),
            circuits=one_each("Socket", "Generator", 32),
            indoors=False,
            places=(
                Place("Mixing tent", 0, 26.5),
                Place("Pit security", 0, 4, hours=4),
                Place("Front row, middle", 0, 5.4, 1.6, "front row"),
            ),
        ),
    ),
    "Ground is soft after rain: mats under the stacks. Neighbours across the river from 22:00.",
)  # fmt: skip

BALLROOM = VenuePlan(
    "Vellacourt Ballroom", "Marram-on-the-Dunes", "Europe/Amsterdam",
    (
        SpacePlan(
            "Ballroom",
            (Area("Parquet", block(7, 4, 11)), Area("Tables", block(8, 11, 18), ear=1.2)),
            (Supply("Wall left", 1, 32), Supply("Wall right", 1, 32)),
            (Point("Chandelier beam", 0, 8, 6.8, 60),),
            circuits=(
                Circuit("Left 1", "Wall left", 1, 16),
                Circuit("Left 2", "Wall left", 1, 16),
                Circuit("Right 1", "Wall right", 1, 16),
            ),
            volume_m3=2400,
            decay_s=(1.7, 1.5, 1.3, 1.3, 1.2, 1.0, 0.8),
            noise_db=(48, 45, 42, 38, 33, 28, None),
            places=(
                Place("Mixing position", 5.5, 17),
                Place("Front row, middle", 0, 4.4, 1.6, "front row"),
            ),
        ),
        SpacePlan(
            "Garden room",
            (Area("Seats", block(5, 3, 11), ear=1.2),),
            (Supply("Garden sockets", 1, None),),
            circuits=(Circuit("By the door", "Garden sockets", None, None),),
            volume_m3=420,
            decay_s=(None, None, 0.7, 0.7, None, None, None),
            places=(Place("Mixing position", 4, 10.5, 1.2),),
        ),
    ),
    "The garden room's fuse is unlabelled: ask before plugging in.",
)  # fmt: skip

VENUES = (HALL, CLUB, FIELD, BALLROOM)
