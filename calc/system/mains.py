"""Mains, and what bears weight."""

from dataclasses import dataclass
from typing import Literal

from calc.figure import UNKNOWN, Figure

SupportKind = Literal["hang point", "stand", "truck"]


@dataclass(frozen=True, slots=True)
class Supply:
    """A mains supply at the venue. `voltage_v` lies between a phase and neutral."""

    name: str
    phases: int
    amps_per_phase: Figure
    voltage_v: Figure
    generator: bool


@dataclass(frozen=True, slots=True)
class Circuit:
    """A socket of a supply with its own breaker, on one phase (counted from 1).

    `phase` None: nobody knows which phase it hangs on.
    """

    name: str
    supply: str
    phase: int | None
    breaker_a: Figure


@dataclass(frozen=True, slots=True)
class RackFeed:
    """The one mains cable to a rack, single phase.

    `rack` is a rack's name, or an amplifier place's where that amplifier is plugged by itself.
    `phase` counts from 1; None: not plugged yet, let the plan choose. `circuit` "" is the supply
    itself. `length_m` and `area_mm2` (one conductor) are those of the cable.
    """

    rack: str
    supply: str
    phase: int | None = None
    length_m: Figure = UNKNOWN
    area_mm2: Figure = UNKNOWN
    circuit: str = ""

    @property
    def name(self) -> str:
        """What tells it from its neighbours."""
        return self.rack


@dataclass(frozen=True, slots=True)
class Support:
    """Something that bears loads up to a marked limit (all of it, in kg)."""

    name: str
    kind: SupportKind
    limit_kg: Figure


@dataclass(frozen=True, slots=True)
class ExtraLoad:
    """Something else that hangs or stands on a support: rigging, cable, a rack on a truck."""

    name: str
    support: str
    mass_kg: Figure
