"""What an output shall be set to, before any revision holds it."""

from collections.abc import Iterable
from dataclasses import dataclass
from operator import attrgetter

from rigs.systems.models import Output, OutputFilter, Revision

OutputKey = tuple[int, int]
"""A processor place's id, and the number of one of its outputs."""


@dataclass(frozen=True, slots=True)
class FilterPlan:
    """One filter; what the figures mean: `calc.system.Filter`."""

    kind: str
    frequency_hz: float
    family: str = ""
    order: int = 2
    gain_db: float = 0.0
    q: float | None = None

    @classmethod
    def of(cls, row: OutputFilter) -> "FilterPlan":
        """What a row says, stored or not."""
        return cls(str(row.kind), row.frequency_hz, str(row.family), row.order, row.gain_db, row.q)

    def row(self, output: Output, position: int) -> OutputFilter:
        """The filter as a row that is not stored yet."""
        return OutputFilter(
            output=output,
            position=position,
            kind=self.kind,
            frequency_hz=self.frequency_hz,
            family=self.family,
            order=self.order,
            gain_db=self.gain_db,
            q=self.q,
        )


@dataclass(frozen=True, slots=True)
class OutputPlan:
    """One output of the processor place with the id `place`."""

    place: int
    number: int
    inputs: tuple[int, ...] = ()
    gain_db: float | None = None
    delay_ms: float = 0.0
    inverted: bool = False
    filters: tuple[FilterPlan, ...] = ()

    @property
    def key(self) -> OutputKey:
        """Which output of the event this is."""
        return self.place, self.number

    @property
    def filters_used(self) -> int:
        """High and low passes take no place among an output's filters."""
        return sum(part.kind not in OutputFilter.PASSES for part in self.filters)

    @classmethod
    def of(cls, row: Output, filters: Iterable[OutputFilter]) -> "OutputPlan":
        """What rows say, stored or not; the filters in their order."""
        return cls(
            row.processor_place_id,
            row.number,
            tuple(row.inputs or ()),
            row.gain_db,
            row.delay_ms,
            bool(row.inverted),
            tuple(map(FilterPlan.of, filters)),
        )

    def row(self, revision: Revision | None = None) -> Output:
        """The output as a row that is not stored yet."""
        return Output(
            revision=revision,
            processor_place_id=self.place,
            number=self.number,
            inputs=list(self.inputs),
            gain_db=self.gain_db,
            delay_ms=self.delay_ms,
            inverted=self.inverted,
        )


def plans_of(revision: Revision | None) -> dict[OutputKey, OutputPlan]:
    """Everything that a revision says, by output; nothing where there is none yet."""
    rows = revision.outputs.all() if revision else ()
    plans = [
        OutputPlan.of(row, sorted(row.filters.all(), key=attrgetter("position"))) for row in rows
    ]
    return {plan.key: plan for plan in plans}
