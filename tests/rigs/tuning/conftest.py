"""An event with a spot and two lines, and where its files go."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from rigs.events.models import Event
from rigs.people import rights
from rigs.people.models import Person
from rigs.systems.models import DriveLine, ListeningSpot
from tests import factories


@dataclass
class Site:
    event: Event
    spot: ListeningSpot
    lines: list[DriveLine]
    tech: Person


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
