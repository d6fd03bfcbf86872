"""Delays from distances: flights at a temperature, and a table of them for every alignment."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.air import speed_of_sound
from calc.constants import METRES_PER_FOOT
from calc.lookup import Lookup
from calc.signals.outputs import played_by
from calc.system import Alignment, DriveLine, ListeningSpot, SystemDescription

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways through the air from all boxes to one spot."""

    lookup: Lookup
    spot: ListeningSpot

    def offset_m(self, placement: str) -> Floats:
        """From a box to the spot, (3,)."""
        box, spot = self.lookup.placements[placement], self.spot
        return np.array([spot.x_m - box.x_m, spot.y_m - box.y_m, spot.z_m - box.z_m])

    def flights(self, line: DriveLine, temperature_c: float) -> Iterator[tuple[float, float]]:
        """Time (ms) and way (m) of each box of a line."""
        speed = speed_of_sound(temperature_c)
        for link in line.links:
            away = float(np.linalg.norm(self.offset_m(link.placement)))
            yield 1000 * away / speed, away

    def first(self, names: Sequence[str], temperature_c: float) -> tuple[float, float]:
        """Of the box among some lines that arrives first: ms with delay and latency, and m."""
        arrivals = [
            (flight + played_by(line, self.lookup).late_ms, away)
            for line in map(self.lookup.lines.__getitem__, names)
            for flight, away in self.flights(line, temperature_c)
        ]
        return min(arrivals, default=(0.0, 0.0))

    def later_ms(self, part: Alignment, temperature_c: float) -> float:
        """How much later the moved lines arrive than the reference, as set, by distance."""
        moved, reference = (
            self.first(side, temperature_c) for side in (part.moved, part.reference)
        )
        return moved[0] - reference[0]

    def drift_ms(self, part: Alignment, from_c: float, to_c: float) -> float:
        """How much later the moved lines come against the reference once the air has changed."""
        return self.later_ms(part, to_c) - self.later_ms(part, from_c)


@dataclass(frozen=True, slots=True)
class DelayRow:
    """One alignment by distance alone; filters and drivers turn the phase besides.

    `difference_m` is the reference's way less the moved one's. `set_ms` and `show_ms` are what to
    enter for the moved lines in all, offset included, at the two temperatures (below 0: the
    reference must wait by that much); `drift_ms` as in `AlignmentResult`.
    """

    name: str
    kind: str
    spot: str
    moved: tuple[str, ...]
    reference: tuple[str, ...]
    moved_m: float
    reference_m: float
    difference_m: float
    difference_ft: float
    offset_ms: float
    is_set_ms: float
    set_temperature_c: float
    show_temperature_c: float
    set_ms: float
    show_ms: float
    drift_ms: float


def delay_table(system: SystemDescription, lookup: Lookup) -> tuple[DelayRow, ...]:
    """A row for every alignment, in the description's order."""
    spots = {spot.name: spot for spot in system.spots}
    show_c = system.surroundings.temperature_c
    return tuple(_row(part, Ways(lookup, spots[part.spot]), show_c) for part in system.alignments)


def _row(part: Alignment, ways: Ways, show_c: float) -> DelayRow:
    set_c = set_temperature_c(part, show_c)
    moved_m, reference_m = (ways.first(side, show_c)[1] for side in (part.moved, part.reference))
    lines = (ways.lookup.lines[name] for name in part.moved)
    is_set = min(played_by(line, ways.lookup).delay_ms for line in lines)
    set_ms, show_ms = (
        is_set + part.offset_ms - ways.later_ms(part, temperature)
        for temperature in (set_c, show_c)
    )
    return DelayRow(
        name=part.name,
        kind=part.kind,
        spot=part.spot,
        moved=part.moved,
        reference=part.reference,
        moved_m=moved_m,
        reference_m=reference_m,
        difference_m=reference_m - moved_m,
        difference_ft=(reference_m - moved_m) / METRES_PER_FOOT,
        offset_ms=part.offset_ms,
        is_set_ms=is_set,
        set_temperature_c=set_c,
        show_temperature_c=show_c,
        set_ms=set_ms,
        show_ms=show_ms,
        drift_ms=ways.drift_ms(part, set_c, show_c),
    )


def set_temperature_c(part: Alignment, show_c: float) -> float:
    """The air's when the delays are entered; the show's where nobody said."""
    return show_c if part.set_temperature_c is None else part.set_temperature_c
