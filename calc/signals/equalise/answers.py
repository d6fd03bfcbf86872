"""What an equalisation answers."""

from dataclasses import dataclass

from calc.signals.equalise.mask import LeftAlone
from calc.system import Filter


@dataclass(frozen=True, slots=True)
class Limits:
    """What a fit may do.

    `boost_db` is the most that all filters together may lift anywhere: 3 dB is usual, and above 6
    there is none. `cut_db` is the most that one filter may take away. `filters`: at most so many
    (None: as many as the processor has). `low_hz` to `high_hz` shall be equalised. `least_q` and
    `most_q` keep filters from being too wide, or so narrow that they suit one seat only.
    """

    boost_db: float = 3.0
    cut_db: float = 12.0
    filters: int | None = None
    low_hz: float = 30.0
    high_hz: float = 16_000.0
    least_q: float = 0.5
    most_q: float = 8.0


HARD_BOOST_DB = 6.0


@dataclass(frozen=True, slots=True)
class SpotCurve:
    """What a spot hears, and will; dB re its own level over the mids before, None if unknown."""

    name: str
    measured_db: tuple[float | None, ...]
    predicted_db: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Equalisation:
    """Filters and what they do, on `frequency_hz`. Nothing of it is set by itself.

    Residuals are root mean squares of average less target over the places that count, dB.
    `headroom_db` is the highest lift: so much less gain is left before something clips or limits.
    `pink_change_db` is what the filters do to the power of pink noise within the range, and
    `gain_db` the gain that makes it up (its negative). Where `cannot` says something, there are
    no filters.
    """

    frequency_hz: tuple[float, ...]
    filters: tuple[Filter, ...]
    equaliser_db: tuple[float, ...]
    target_db: tuple[float, ...]
    average_db: tuple[float | None, ...]
    predicted_db: tuple[float | None, ...]
    spread_db: tuple[float | None, ...]
    spots: tuple[SpotCurve, ...]
    left_alone: tuple[LeftAlone, ...]
    residual_before_db: float | None
    residual_after_db: float | None
    headroom_db: float
    pink_change_db: float
    basis: str
    warnings: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()

    @property
    def gain_db(self) -> float:
        """What the level loses is given back by so much gain."""
        return -self.pink_change_db
