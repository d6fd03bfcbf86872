"""What the processors of a rig are set to, revision by revision, and what shall run together."""

import dataclasses

from rigs.catalogue.models import Way
from rigs.demo.data.processing import THROUGH_DB, filters_of, inputs_of
from rigs.demo.shapes import Line, RevisionPlan, RigPlan, Role
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions import revise, save_alignment, save_spot
from rigs.systems.models import Alignment, DriveLine, Link, ListeningSpot
from rigs.systems.plans import OutputKey, OutputPlan

HOUSE = "The house's own settings of these boxes"


def fill_processing(event: Event, plan: RigPlan, person: Person) -> None:
    """Write the first revision from the house's settings, then what the plan says."""
    rows = {row.name: row for row in event.drivelines.all()}
    keys = {line.name: _key(rows[line.name]) for line in plan.lines if line.processor}
    outputs = _house_settings(event, plan, keys)
    if not outputs:
        return
    revision = revise(event, outputs.values(), seen=0, reason=HOUSE, person=person)
    for change in plan.revisions:
        outputs = _changed(outputs, change, keys)
        revision = revise(
            event, outputs.values(), seen=revision.number, reason=change.reason, person=person
        )
    _fill_alignments(event, plan, rows, person)


def _key(row: DriveLine) -> OutputKey:
    assert row.processor_place_id is not None and row.output is not None
    return row.processor_place_id, row.output


def _house_settings(
    event: Event, plan: RigPlan, keys: dict[str, OutputKey]
) -> dict[OutputKey, OutputPlan]:
    """One output for each that a line names; lines on one output say the same."""
    boxes = {box.name: box for box in plan.boxes}
    links = Link.objects.filter(line__event=event, order=1).select_related("way__loudspeaker")
    ways: dict[int, Way] = {link.line_id: link.way for link in links}
    rows = {row.name: row.pk for row in event.drivelines.all()}
    roles = {way.loudspeaker.loudspeaker.role for way in ways.values()}
    found: dict[OutputKey, OutputPlan] = {}
    for line in plan.lines:
        if line.name not in keys or keys[line.name] in found:
            continue
        way = ways[rows[line.name]]
        found[keys[line.name]] = OutputPlan(
            *keys[line.name],
            inputs=_inputs(plan, line, keys),
            gain_db=THROUGH_DB.get(line.way),
            filters=filters_of(
                boxes[line.boxes[0]], line.way, way.loudspeaker.loudspeaker.role,
                way.low_hz or 40.0, Role.SUB in roles,
            ),
        )  # fmt: skip
    return found


def _inputs(plan: RigPlan, line: Line, keys: dict[str, OutputKey]) -> tuple[int, ...]:
    """An output that drives both sides plays the left input."""
    sharing = {inputs_of(x) for x in plan.lines if keys.get(x.name) == keys[line.name]}
    return min(sharing)


def _changed(
    outputs: dict[OutputKey, OutputPlan], change: RevisionPlan, keys: dict[str, OutputKey]
) -> dict[OutputKey, OutputPlan]:
    after = dict(outputs)
    for name, delay in change.delays_ms.items():
        after[keys[name]] = dataclasses.replace(after[keys[name]], delay_ms=delay)
    for name in change.inverted:
        after[keys[name]] = dataclasses.replace(after[keys[name]], inverted=True)
    for name, passes in change.passes.items():
        after[keys[name]] = dataclasses.replace(after[keys[name]], filters=passes)
    for name, more in change.filters.items():
        now = after[keys[name]]
        after[keys[name]] = dataclasses.replace(now, filters=(*now.filters, *more))
    return after


def _fill_alignments(
    event: Event, plan: RigPlan, rows: dict[str, DriveLine], person: Person
) -> None:
    spots = {
        spot.name: save_spot(
            ListeningSpot(
                event=event, name=spot.name, x_m=spot.x, y_m=spot.y, z_m=spot.z, kind=spot.kind
            ),
            None,
            person,
        )
        for spot in plan.spots
    }
    for one in plan.alignments:
        save_alignment(
            Alignment(
                event=event, name=one.name, kind=one.kind, spot=spots[one.spot],
                offset_ms=one.offset_ms, set_temperature_c=one.set_c,
            ),
            [rows[name] for name in one.moved],
            [rows[name] for name in one.reference],
            None,
            person,
        )  # fmt: skip
