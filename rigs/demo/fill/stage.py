"""The stage microphones of one event."""

from rigs.demo.shapes import RigPlan
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions import save_microphone
from rigs.systems.models import DriveLine, StageMicrophone


def fill_stage(event: Event, plan: RigPlan, person: Person) -> None:
    """Write all of them, by the action that people use."""
    lines = {line.name: line for line in DriveLine.objects.filter(event=event)}
    for one in plan.microphones:
        row = StageMicrophone(
            event=event, name=one.name, x_m=one.x, y_m=one.y, z_m=one.z,
            azimuth_deg=one.azimuth, tilt_deg=one.tilt, pattern=one.pattern,
            source_m=one.source, is_open=one.open, equivalent_m=one.near,
        )  # fmt: skip
        save_microphone(row, [lines[name] for name in one.kept_out], None, person)
