"""Impedance curves as people paste or upload them: one point a line.

Columns: Hz, ohm, and degrees where the phase is known (`typed_lines` says how they may be set).
"""

from django.core.exceptions import ValidationError

from rigs.catalogue.impedance import MOST_POINTS, Curve, value_fault
from rigs.catalogue.typed_lines import Line, cells_of, check_length, data_lines, is_number, told

LIKE = "write Hz, ohm and, where known, degrees: 63, 8.2, -31"

Point = tuple[float, float, float | None]


def read_curve(text: str) -> Curve | None:
    """Read a curve; None if nothing is there.

    Raises ValidationError with a sentence for each of the first lines that cannot be read.
    """
    check_length(text, "an impedance curve")
    reading = _Reading()
    for line in data_lines(text):
        reading.take(line)
    if reading.faults:
        raise ValidationError(told(reading.faults))
    return reading.curve()


def write_curve(curve: Curve) -> str:
    """The text that `read_curve` reads."""
    return "\n".join(
        ", ".join(f"{value:.12g}" for value in point if value is not None)
        for point in curve.points()
    )


class _Reading:
    """What was read so far, and what could not be."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self.faults: list[str] = []
        self.line_of_last = 0
        self.with_phase: int | None = None  # the first line of either sort, to name in a fault
        self.without_phase: int | None = None

    def take(self, line: Line) -> None:
        fault = self._point(line.number, cells_of(line.text))
        if fault:
            self.faults.append(line.saying(fault))

    def _point(self, number: int, cells: list[str]) -> str:
        if len(cells) not in (2, 3) or not all(map(is_number, cells)):
            return LIKE
        hz, ohm, *phase = map(float, cells)
        degrees = phase[0] if phase else None
        fault = value_fault(hz, ohm, degrees) or self._order_fault(hz) or self._phase_fault(phase)
        if fault:
            return fault
        if len(self.points) == MOST_POINTS:
            return f"a curve has at most {MOST_POINTS} points"
        self.points.append((hz, ohm, degrees))
        self.line_of_last = number
        if phase:
            self.with_phase = self.with_phase or number
        else:
            self.without_phase = self.without_phase or number
        return ""

    def _order_fault(self, hz: float) -> str:
        if self.points and hz <= self.points[-1][0]:
            return (
                f"frequencies must rise, but line {self.line_of_last} has {self.points[-1][0]:g} Hz"
            )
        return ""

    def _phase_fault(self, phase: list[float]) -> str:
        if phase and self.without_phase:
            return f"it has a phase, line {self.without_phase} has none: give it always or never"
        if not phase and self.with_phase:
            return f"it has no phase, line {self.with_phase} has one: give it always or never"
        return ""

    def curve(self) -> Curve | None:
        if not self.points:
            return None
        if len(self.points) == 1:
            raise ValidationError("A curve needs at least two points.")
        hz, ohm, phase = zip(*self.points, strict=True)
        return Curve(hz, ohm, phase if self.with_phase else ())
