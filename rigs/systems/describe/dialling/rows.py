"""Outputs of a revision, stored or only typed, as `calc` reads them."""

from collections.abc import Iterable
from dataclasses import replace
from operator import attrgetter
from typing import cast

from calc import system
from calc.system import ProcessorOutput, SystemDescription
from rigs.systems.models import Output, OutputFilter, Revision

__all__ = ["ProcessorOutput", "described", "outputs_of", "with_output"]


def described(row: Output, filters: Iterable[OutputFilter]) -> ProcessorOutput:
    """An output with its filters."""
    return ProcessorOutput(
        processor=row.processor_place.name,
        output=row.number,
        inputs=tuple(row.inputs),
        gain_db=None if row.gain_db is None else float(row.gain_db),
        delay_ms=float(row.delay_ms),
        inverted=row.inverted,
        filters=tuple(map(_filter, sorted(filters, key=attrgetter("position")))),
    )


def _filter(row: OutputFilter) -> system.Filter:
    return system.Filter(
        kind=cast(system.FilterKind, str(row.kind)),
        frequency_hz=float(row.frequency_hz),
        family=cast(system.FilterFamily, str(row.family)),
        order=row.order,
        gain_db=float(row.gain_db),
        q=None if row.q is None else float(row.q),
    )


def outputs_of(revision: Revision | None) -> tuple[ProcessorOutput, ...]:
    """Everything of a revision that `queries` has read, by processor and number."""
    if revision is None:
        return ()
    found = [described(row, row.filters.all()) for row in revision.outputs.all()]
    return tuple(sorted(found, key=lambda output: (output.processor, output.output)))


def with_output(described_as: SystemDescription, wished: ProcessorOutput) -> SystemDescription:
    """The rig with one output set otherwise."""
    key = wished.processor, wished.output
    others = [o for o in described_as.outputs if (o.processor, o.output) != key]
    outputs = sorted([*others, wished], key=lambda output: (output.processor, output.output))
    return replace(described_as, outputs=tuple(outputs))
