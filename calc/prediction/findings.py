"""One checked statement."""

from dataclasses import dataclass
from typing import Literal

State = Literal["holds", "tight", "fails", "cannot check"]

# Worst first: the order in which people should read them.
SEVERITY: tuple[State, ...] = ("fails", "cannot check", "tight", "holds")


@dataclass(frozen=True, slots=True)
class Finding:
    """One checked statement.

    `subject` is the drive line, area, placement or amplifier place it speaks of; `check` is a
    short fixed key (of a line `load`, `power`, `peak`, `cable_loss`, `damping`, `headroom`,
    `limiter`, `pole_pair`; of the rig `undriven_way`, `shared_pole_pair`, `shared_output`,
    `linked_inputs`, `coverage`, `exposure`, `target`, `supply`, `phase`, `volt_drop`, `inrush`,
    `weight`; of a box `crossover_polarity`, `crossover_order`; of an output `protection`,
    of its place `fits_processor`; of an alignment `alignment`, `delay_drift`,
    `delay_as_inversion`; of a stage microphone `feedback`). `value` and `limit` carry `unit`; None
    where unknown.
    `sentence` says the fault first, then what to do. `working` lists the steps of the sum in
    words and figures; `assumed` what had to be assumed; `remedy` what would change the state.
    """

    subject: str
    check: str
    title: str
    state: State
    value: float | None
    limit: float | None
    unit: str
    limit_source: str
    sentence: str
    working: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    remedy: str = ""
