"""What the processors of one event are set to, and which lines shall run together."""

from rigs.demo.data.settings import first, usual
from rigs.demo.shapes import RigPlan, Setting
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.models import Alignment, DriveLine, ListeningSpot, ProcessorPlace
from rigs.systems.plans import OutputPlan


def fill_processing(
    event: Event, plan: RigPlan, places: dict[str, ProcessorPlace], tech: Person
) -> None:
    """Every revision, made as people make them."""
    revisions = plan.revisions
    if plan.through_db and not revisions:
        revisions = first(usual(plan.boxes, plan.lines, plan.through_db))
    for seen, revision in enumerate(revisions):
        outputs = [_output(setting, places) for setting in revision.settings]
        actions.revise(event, outputs, seen=seen, reason=revision.reason, person=tech)


def _output(setting: Setting, places: dict[str, ProcessorPlace]) -> OutputPlan:
    return OutputPlan(
        places[setting.processor].pk, setting.output, setting.inputs, setting.gain_db,
        setting.delay_ms, setting.inverted, setting.filters,
    )  # fmt: skip


def fill_alignments(event: Event, plan: RigPlan, lines: list[DriveLine]) -> None:
    """Listening spots, and what shall run together there."""
    by_name = {line.name: line for line in lines}
    spots = {
        spot.name: actions.save_spot(
            ListeningSpot(
                event=event, name=spot.name, x_m=spot.x, y_m=spot.y, z_m=spot.z, kind=spot.kind
            ),
            None,
            None,
        )
        for spot in plan.spots
    }
    for each in plan.alignments:
        actions.save_alignment(
            Alignment(
                event=event, name=each.name, kind=each.kind, spot=spots[each.spot],
                offset_ms=each.offset_ms, set_temperature_c=each.set_temperature_c,
            ),
            [by_name[name] for name in each.moved],
            [by_name[name] for name in each.reference],
            None,
            None,
        )  # fmt: skip
