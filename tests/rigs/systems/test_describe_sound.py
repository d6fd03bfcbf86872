"""Ears, room and show of an event reach calc; unknown stays unknown."""

from datetime import timedelta

import pytest

from calc.figure import UNKNOWN
from rigs.systems.describe import describe, fingerprint, limiter_inputs
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


def test_programme_pressure_and_the_choice_of_summing_reach_calc(rig):
    rig.event.programme_dbu, rig.event.pressure_kpa = 4, 89.9
    rig.event.save()
    rig.event.rigchoices.create(coherent_below_hz=300)
    system = describe(rig.event)
    assert system.show.programme_dbu.value == 4
    assert system.surroundings.pressure_kpa == 89.9
    assert system.choices.coherent_below_hz == 300


def test_programme_that_nobody_knows_stays_unknown(rig):
    system = describe(rig.event)
    assert system.show.programme_dbu == UNKNOWN
    assert system.surroundings.pressure_kpa == 101.325
    assert system.choices.coherent_below_hz == 150


def test_roll_group_delay_and_polarity_reach_calc(rig):
    rig.box.roll_deg, rig.box.group = 90, "Main left"
    rig.box.save()
    factories.plays(rig.line(name="Tops"), delay_ms=12.5, inverted=True)
    system = describe(rig.event)
    assert (system.placements[0].roll_deg, system.placements[0].group) == (90, "Main left")
    assert (system.outputs[0].delay_ms, system.outputs[0].inverted) == (12.5, True)


def test_delay_and_polarity_void_no_limiter(rig):
    line = factories.plays(rig.line(name="Tops"))
    before = fingerprint(limiter_inputs(describe(rig.event), "Tops"))
    factories.plays(line, delay_ms=20, inverted=True)
    rig.event.target_dba = 99
    rig.event.save()
    assert fingerprint(limiter_inputs(describe(rig.event), "Tops")) == before
