"""What processors are set to, where somebody listens and what was measured, as `calc` reads it."""

from collections.abc import Iterable
from operator import attrgetter
from typing import cast

from calc import system
from rigs.events.models import Event
from rigs.systems import models


def outputs(event: Event) -> tuple[system.ProcessorOutput, ...]:
    """The current revision of an event that `queries.rig` has read, by processor and number.

    An output beyond those that the processor now has is left out: nothing can play from it.
    """
    return tuple(
        output
        for revision in event.newest_revisions  # type: ignore[attr-defined]
        for output in outputs_of(revision)
    )


def outputs_of(revision: models.Revision) -> tuple[system.ProcessorOutput, ...]:
    """What a revision says that `queries` has read, by processor and number."""
    rows = [row for row in revision.outputs.all() if _there(row)]
    rows.sort(key=lambda row: (row.processor_place.name, row.number))
    return tuple(described(row, row.filters.all()) for row in rows)


def _there(row: models.Output) -> bool:
    return row.number <= row.processor_place.processor.outputs


def described(row: models.Output, filters: Iterable[models.OutputFilter]) -> system.ProcessorOutput:
    """An output and its filters, stored or only typed."""
    return system.ProcessorOutput(
        processor=row.processor_place.name,
        output=row.number,
        inputs=tuple(row.inputs),
        gain_db=None if row.gain_db is None else float(row.gain_db),
        delay_ms=float(row.delay_ms),
        inverted=row.inverted,
        filters=tuple(map(_filter, sorted(filters, key=attrgetter("position")))),
    )


def _filter(row: models.OutputFilter) -> system.Filter:
    return system.Filter(
        kind=cast(system.FilterKind, str(row.kind)),
        frequency_hz=float(row.frequency_hz),
        family=cast(system.FilterFamily, str(row.family)),
        order=row.order,
        gain_db=float(row.gain_db),
        q=None if row.q is None else float(row.q),
    )


def spots(event: Event) -> tuple[system.ListeningSpot, ...]:
    """Where somebody listens, in the order of the names."""
    rows = sorted(event.listeningspots.all(), key=attrgetter("name"))
    return tuple(
        system.ListeningSpot(
            name=row.name,
            x_m=float(row.x_m),
            y_m=float(row.y_m),
            z_m=float(row.z_m),
            kind=cast(system.SpotKind, str(row.kind)),
        )
        for row in rows
    )


def measured(event: Event) -> tuple[system.MeasuredResponse, ...]:
    """What was measured, by line and spot."""
    rows = [_measured(row) for row in event.measuredresponses.all()]
    return tuple(sorted(rows, key=attrgetter("line", "spot")))


def _measured(row: models.MeasuredResponse) -> system.MeasuredResponse:
    hz, level, phase = (
        tuple(map(float, row.curve[name])) for name in ("frequency_hz", "level_db", "phase_deg")
    )
    return system.MeasuredResponse(
        line=row.line.name,
        spot=row.spot.name,
        frequency_hz=hz,
        level_db=level,
        phase_deg=phase,
        removed_ms=float(row.removed_ms),
    )


def alignments(event: Event) -> tuple[system.Alignment, ...]:
    """Which lines shall run together, in the order of the names.

    One of which a side has lost all its lines is left out: there is nothing to align.
    """
    rows = sorted(event.alignments.all(), key=attrgetter("name"))
    found = [
        system.Alignment(
            name=row.name,
            kind=cast(system.AlignmentKind, str(row.kind)),
            moved=tuple(sorted(line.name for line in row.moved.all())),
            reference=tuple(sorted(line.name for line in row.reference.all())),
            spot=row.spot.name,
            offset_ms=float(row.offset_ms),
            set_temperature_c=(
                None if row.set_temperature_c is None else float(row.set_temperature_c)
            ),
        )
        for row in rows
    ]
    return tuple(each for each in found if each.moved and each.reference)
