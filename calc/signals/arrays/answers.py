"""What is said about a sub array."""

from dataclasses import dataclass
from typing import Literal

from calc.prediction import State

ArrayKind = Literal["spaced", "gradient", "end-fire", "arc by delay"]
KINDS: tuple[ArrayKind, ...] = ("spaced", "gradient", "end-fire", "arc by delay")
"""Side by side without delays; front row and inverted rear row; one behind the other, delayed
forwards; side by side, the outer ones delayed as if they stood on an arc."""


@dataclass(frozen=True, slots=True)
class ArrayElement:
    """One box: where it stands in the array, and what to enter for it.

    `ahead_m` is along the aim from the rearmost box (0 or more), `right_m` to the right of the
    array's middle as seen along the aim. `delay_ms` is 0 or more, the least one is 0.
    """

    placement: str
    ahead_m: float
    right_m: float
    delay_ms: float
    inverted: bool


@dataclass(frozen=True, slots=True)
class ArrayLimit:
    """What spacing allows: `hz` is where it ends, held against the design frequency.

    `name` is short ("lobes to the sides"); `state` is "fails" where the design frequency lies
    beyond, "tight" within a third of an octave of it.
    """

    name: str
    hz: float
    spacing_m: float
    state: State
    sentence: str


@dataclass(frozen=True, slots=True)
class ArrayPolar:
    """Level in every direction in one band, in dB re the loudest (0 or less, never below -60)."""

    band_hz: float
    level_db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ArrayBand:
    """One band in figures, dB.

    `forward_loss_db` is what is lost along the aim against all boxes arriving there in phase
    (0 or more). `behind_db` is the loudest within 30 degrees of straight behind, `stage_db` the
    level at the stage spot against the same distance ahead of the array's middle (None without
    a spot), both re the level along the aim. `opening_deg` is the whole angle over which the
    level around the aim stays within 6 dB; None where it never falls by that.
    """

    band_hz: float
    forward_loss_db: float
    behind_db: float
    stage_db: float | None
    opening_deg: float | None


@dataclass(frozen=True, slots=True)
class ArrayPlan:
    """Delay and polarity for each box of an array, and what comes of it.

    `angles_deg` go clockwise from the aim, seen from above, for all `polars`. `radius_m` is how
    far from the array's middle they are, None: far away. `sentences` say what was found, the
    fault first; `assumed` what had to be assumed.
    """

    kind: ArrayKind
    aim_deg: float
    design_hz: float
    radius_m: float | None
    elements: tuple[ArrayElement, ...]
    limits: tuple[ArrayLimit, ...]
    angles_deg: tuple[float, ...]
    polars: tuple[ArrayPolar, ...]
    bands: tuple[ArrayBand, ...]
    sentences: tuple[str, ...]
    assumed: tuple[str, ...]
