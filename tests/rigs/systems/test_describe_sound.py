"""Ears, room and show of an event reach calc; unknown stays unknown."""

from datetime import timedelta

import pytest

from calc.figure import UNKNOWN
from rigs.systems.describe import describe
from tests import factories
from venues.models import ListeningPlace, RoomSurface

pytestmark = pytest.mark.django_db

DECAY = [2.0, 1.8, 1.6, 1.5, 1.4, 1.2, None]


def test_outdoors_there_is_no_room():
    event = factories.event(space=factories.space(indoors=False, volume_m3=2000))
    assert describe(event).room is None


def test_room_is_described_by_octaves_and_unknown_stays_unknown():
    space = factories.space(volume_m3=None, decay_s=DECAY)
    RoomSurface.objects.create(space=space, name="walls", area_m2=None, absorption=[0.1] * 7)
    room = describe(factories.event(space=space)).room
    assert room is not None
    assert room.volume_m3 == UNKNOWN
    assert room.decay_s == tuple(DECAY)
    assert room.surfaces[0].area_m2 == UNKNOWN


def test_places_stand_in_the_order_of_their_names():
    space = factories.space()
    for name in ("Monitor desk", "Front row"):
        ListeningPlace.objects.create(space=space, name=name, x_m=1, y_m=2, z_m=1.6)
    places = describe(factories.event(space=space)).places
    assert [place.name for place in places] == ["Front row", "Monitor desk"]
    assert places[0].hours == UNKNOWN


def test_show_has_its_hours_and_the_wished_level():
    event = factories.event(target_dba=96)
    show = describe(event).show
    assert show is not None
    assert (show.hours.value, show.target_dba.value) == (4.0, 96.0)


def test_hours_of_a_show_over_several_days_are_unknown():
    event = factories.event()
    event.show_until = event.show_from + timedelta(hours=30)
    event.back_at = event.show_until + timedelta(hours=4)
    event.save()
    show = describe(event).show
    assert show is not None
    assert show.hours == UNKNOWN
    assert show.target_dba == UNKNOWN
