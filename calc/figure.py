"""One number with its basis. An unknown number stays unknown all the way to the page."""

from dataclasses import dataclass
from typing import Literal

Basis = Literal["measured", "data sheet", "assumed", "unknown"]


@dataclass(frozen=True, slots=True)
class Figure:
    """A value and what it stands on.

    The unit is the one named by the end of the field that holds the figure
    (`rated_impedance_ohm`, `length_m`). `value is None` means unknown, never zero.
    """

    value: float | None
    basis: Basis = "data sheet"

    def __post_init__(self) -> None:
        if (self.value is None) != (self.basis == "unknown"):
            raise ValueError("a figure is unknown exactly when it has no value")

    @property
    def known(self) -> bool:
        """Whether there is a value to compute with."""
        return self.value is not None


UNKNOWN = Figure(None, "unknown")
