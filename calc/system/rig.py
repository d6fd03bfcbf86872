"""What stands in a rig: places, boxes, drive lines."""

from dataclasses import dataclass
from typing import Literal

from calc.system.electronics import Mode

LimiterBasis = Literal["continuous", "programme"]


@dataclass(frozen=True, slots=True)
class AmplifierPlace:
    """One amplifier that travels to the event, with the unit when it is chosen.

    `gain_db` is the gain that its gain switch is set to, one channel, level control fully up;
    it counts before the sheet's gain or sensitivity. None: the sheet's. `linked_inputs`: one
    signal feeds all of its channels.
    """

    name: str
    rack: str
    sheet: str
    unit: str = ""
    gain_db: float | None = None
    linked_inputs: bool = False


@dataclass(frozen=True, slots=True)
class ProcessorPlace:
    """One processor that travels to the event."""

    name: str
    sheet: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Placement:
    """One loudspeaker at a position (m) with an aim (deg).

    `support` names the hang point or stand that bears it; "" when nobody said. `roll_deg` turns
    it about its aim, clockwise as seen from behind. Boxes of one `group` (an array, a stack of
    subs) add in phase; "" stands by itself.
    """

    name: str
    sheet: str
    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float
    tilt_deg: float
    unit: str = ""
    support: str = ""
    roll_deg: float = 0.0
    group: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A box on a drive line and the cable that leads to it.

    The cable starts at the box before (`from_amplifier` False: a link from box to box) or at
    the amplifier. The first link always starts at the amplifier. `pieces` cables of the same
    kind stand in series. `cable` is "" when nobody said which cable: that cannot be checked.

    With `series_with_previous` the box stands in series with the box before it: the same
    current flows through both, and its cable lies between the two. A box after them that is
    not in series starts where the first box of the series starts.
    """

    placement: str
    way: str
    cable: str
    pieces: int
    from_amplifier: bool
    series_with_previous: bool = False


@dataclass(frozen=True, slots=True)
class DriveLine:
    """Processor output -> amplifier channel -> cable runs -> loudspeakers.

    `first_channel` counts from 1; a bridged line takes it and the next one.
    `level_control_db` is 0 fully up and negative below. What the processor does is said by the
    `ProcessorOutput` of (`processor`, `output`), which several lines may share.
    `attack_ms` and `release_ms` are the limiter's times where somebody chose other ones than
    the rule gives. `limiter_basis` None is the event's (`Choices.limiter_basis`);
    "programme" needs the name of who decided it in `limiter_basis_by`.
    `nearest_listener_m` is how near an ear comes to its boxes; None: from the areas.
    """

    name: str
    processor: str
    output: int | None
    amplifier: str
    first_channel: int
    mode: Mode
    level_control_db: float
    links: tuple[Link, ...]
    attack_ms: float | None = None
    release_ms: float | None = None
    limiter_basis: LimiterBasis | None = None
    limiter_basis_by: str = ""
    nearest_listener_m: float | None = None
