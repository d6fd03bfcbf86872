"""Outputs of a revision in words, and a rig with one output set otherwise."""

from dataclasses import replace

from calc.system import ProcessorOutput, SystemDescription
from rigs.systems.describe.processing import described
from rigs.systems.models import Revision

__all__ = ["ProcessorOutput", "all_outputs", "described", "with_output"]


def all_outputs(revision: Revision | None) -> tuple[ProcessorOutput, ...]:
    """Everything that a revision says, by processor and number: also of outputs gone since."""
    rows = revision.outputs.all() if revision else ()
    found = [described(row, row.filters.all()) for row in rows]
    return tuple(sorted(found, key=lambda output: (output.processor, output.output)))


def with_output(system: SystemDescription, wished: ProcessorOutput) -> SystemDescription:
    """The rig with one output set otherwise."""
    key = wished.processor, wished.output
    others = [o for o in system.outputs if (o.processor, o.output) != key]
    outputs = sorted([*others, wished], key=lambda output: (output.processor, output.output))
    return replace(system, outputs=tuple(outputs))
