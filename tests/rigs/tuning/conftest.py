"""An event with a spot and two lines, and where its files go."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from rigs.events.models import Event
from rigs.people import rights
from rigs.people.models import Person
from rigs.systems.models import DriveLine, ListeningSpot, ProcessorPlace
from tests import factories
from tests.rigs.tuning.measured import measured


@dataclass
class Site:
    event: Event
    spot: ListeningSpot
    lines: list[DriveLine]
    tech: Person
    place: ProcessorPlace | None = None


@pytest.fixture
def files(settings, tmp_path) -> Path:
    """The folder that uploaded files go to."""
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def site(files) -> Site:
    event = factories.event()
    boxes = [factories.placement(event), factories.placement(event)]
    lines = [factories.line(event, box) for box in boxes]
    spot = factories.spot(event, name="Mix")
    return Site(event, spot, lines, factories.person(rights.SYSTEM_TECH))


@pytest.fixture
def heard(site, client, monkeypatch) -> Site:
    """Two spots at which one line played, that hangs on output 2 of a processor; no worker."""
    monkeypatch.setattr("rigs.tuning.tasks.enqueue_fit", lambda pk: None)
    sheet = factories.processor(
        filters_per_output=4, dials={"filter_gain_db": {"least": -12, "most": 6, "step": 0.5}}
    )
    site.place = factories.processor_place(site.event, sheet, name="Rack control")
    line = site.lines[0]
    line.processor_place, line.output = site.place, 2
    line.save()
    other = factories.spot(site.event, name="Side", x_m=-3)
    measured(site, site.spot, lines=[line])
    measured(site, other, seed=2, lines=[line])
    client.force_login(site.tech)
    return site
