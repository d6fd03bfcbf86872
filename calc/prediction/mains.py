"""Mains currents, and what bears weight."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AmplifierDraw:
    """Mains current of one amplifier place in A; None where the sheet does not say.

    `programme_a` is that at the event's crest factor, which all mains statements count with:
    the one at 1/8 power from 12 dB of crest factor up, more below. `assumed` says what had to be
    assumed for it.
    """

    place: str
    rack: str
    idle_a: float | None
    eighth_power_a: float | None
    inrush_a: float | None
    third_power_a: float | None = None
    programme_a: float | None = None
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FeedResult:
    """One mains cable to a rack (or to an amplifier that is plugged by itself).

    `phase` counts from 1; `given` is False where the plan chose it. Currents in A of all
    amplifiers on it at idle, 1/8 and 1/3 power and with the event's programme; `drop_v` and
    `drop_share` (0 to 1 of the phase voltage) with the programme, over this cable alone. None
    where unknown.
    """

    rack: str
    supply: str
    phase: int | None
    given: bool
    circuit: str
    idle_a: float | None
    eighth_power_a: float | None
    third_power_a: float | None
    drop_v: float | None = None
    drop_share: float | None = None
    programme_a: float | None = None


@dataclass(frozen=True, slots=True)
class PhaseResult:
    """One phase of a supply: what hangs on it, its currents in A and what it bears.

    Sums of rms currents, so that they are never too low. None where unknown.
    """

    phase: int
    racks: tuple[str, ...]
    idle_a: float | None
    eighth_power_a: float | None
    third_power_a: float | None
    usable_a: float | None
    programme_a: float | None = None


@dataclass(frozen=True, slots=True)
class PlannedRack:
    """The phase (from 1) that a plan gives to a rack."""

    rack: str
    phase: int


@dataclass(frozen=True, slots=True)
class SupplyResult:
    """The phase table of one supply, as plugged or (where nobody plugged yet) as planned.

    `highest_a` is the highest phase current with the event's programme; `best_highest_a` what
    the best plugging of all its racks would give, `best_plan` that plugging; `exact` False when
    it was found by a rule of thumb and may not be the best. `neutral_a` is the vector sum of the
    fundamentals, `neutral_rectifier_a` the root of the sum of the squares: what flows when
    rectifiers draw their current in short pulses.
    """

    name: str
    phases: tuple[PhaseResult, ...]
    highest_a: float | None
    best_highest_a: float | None
    best_plan: tuple[PlannedRack, ...]
    exact: bool
    neutral_a: float | None
    neutral_rectifier_a: float | None


@dataclass(frozen=True, slots=True)
class SupportResult:
    """Everything on one hang point, stand or truck, in kg; `total_kg` None if one is unknown.

    `known_kg` sums the known masses; `unknown` names the loads without one.
    """

    name: str
    kind: str
    total_kg: float | None
    known_kg: float
    limit_kg: float | None
    loads: tuple[str, ...]
    unknown: tuple[str, ...]
