"""A small rig to start from: one top, one amplifier of two channels, one processor."""

from dataclasses import dataclass
from typing import Any

import pytest
from django.test import Client

from rigs.catalogue.models import Cable
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.people.rights import SYSTEM_TECH
from rigs.systems.models import AmplifierPlace, DriveLine, Placement, ProcessorPlace
from tests import factories


@dataclass
class Rig:
    """The rows of one event, and a signed-in system tech's client."""

    event: Event
    box: Placement
    amp: AmplifierPlace
    processor: ProcessorPlace
    cable: Cable
    tech: Person
    client: Client

    def url(self, rest: str = "") -> str:
        return f"/events/{self.event.pk}/rig/{rest}"

    def way(self, box: Placement | None = None, index: int = 0) -> str:
        """The value of the box select for one way of a box."""
        box = box or self.box
        return f"{box.pk}:{list(box.loudspeaker.ways.all())[index].pk}"

    def entries(self, **changes: Any) -> dict[str, Any]:
        """What the page of a new drive line sends."""
        return {
            "seen": "1",
            "name": "Tops left",
            "processor_place": self.processor.pk,
            "output": "1",
            "amplifier_place": self.amp.pk,
            "first_channel": "1",
            "mode": "per channel",
            "level_control_db": "0",
            "rows": "1",
            "box-0-box": self.way(),
            "box-0-cable": self.cable.pk,
            "box-0-pieces": "1",
            "do": "save",
        } | changes

    def line(self, **fields: Any) -> DriveLine:
        return factories.line(self.event, self.box, amp=self.amp, run=self.cable, **fields)


@pytest.fixture
def rig(db, client) -> Rig:
    event = factories.event(name="Quayside")
    tech = factories.person(SYSTEM_TECH)
    client.force_login(tech)
    return Rig(
        event=event,
        box=factories.placement(event, name="Top left"),
        amp=factories.amplifier_place(
            event, factories.amplifier(bridged={8.0: 2000.0}), name="Amp A"
        ),
        processor=factories.processor_place(event, name="Processor A"),
        cable=factories.cable(),
        tech=tech,
        client=client,
    )
