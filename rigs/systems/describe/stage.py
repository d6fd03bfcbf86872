"""Stage microphones of an event, as calc's gain before feedback counts with them."""

from typing import cast

from calc import system
from calc.figure import UNKNOWN, Figure
from rigs.events.models import Event
from rigs.systems import models


def microphones(event: Event) -> tuple[system.StageMicrophone, ...]:
    """All of them, in the order of their names."""
    rows = sorted(event.stagemicrophones.all(), key=lambda row: str(row.name))
    return tuple(map(_microphone, rows))


def _microphone(row: models.StageMicrophone) -> system.StageMicrophone:
    return system.StageMicrophone(
        name=row.name,
        x_m=float(row.x_m),
        y_m=float(row.y_m),
        z_m=float(row.z_m),
        azimuth_deg=float(row.azimuth_deg),
        tilt_deg=float(row.tilt_deg),
        pattern=cast(system.Pattern, row.pattern),
        source_m=UNKNOWN if row.source_m is None else Figure(float(row.source_m), "assumed"),
        is_open=row.is_open,
        not_played_by=tuple(sorted(str(line.name) for line in row.not_played_by.all())),
        equivalent_m=None if row.equivalent_m is None else float(row.equivalent_m),
    )
