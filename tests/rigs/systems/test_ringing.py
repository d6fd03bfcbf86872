"""Ring-outs: notches within their number, the reserve kept, a log that nobody changes."""

import pytest
from django.db import IntegrityError, transaction

from rigs.people import rights
from rigs.systems.actions import (
    go_back,
    log_entry,
    place_notch,
    room_for_notches,
    set_notches,
    set_up_ring_out,
    take_notch_off,
)
from rigs.systems.faults import NotSaved
from rigs.systems.models import RingEntry, RingNotch, RingOut
from rigs.systems.plans import FilterPlan, OutputPlan
from rigs.systems.queries import current_revision
from rigs.systems.rung import rang_here_before, ringing
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def tech():
    return factories.person(rights.SYSTEM_TECH)


@pytest.fixture
def place():
    return factories.processor_place(
        factories.event(), factories.processor(filters_per_output=4, outputs=4)
    )


def set_up(place, tech=None, **fields):
    row = RingOut(
        event=place.event,
        processor_place=place,
        **{"outputs": [1, 2], "notches": 4, "reserve": 2} | fields,
    )
    return set_up_ring_out(row, None, tech)


def put(place, hz, tech=None, from_reserve=False, **fields):
    notch = RingNotch(event=place.event, frequency_hz=hz, **{"gain_db": -6.0, "q": 8.6} | fields)
    place_notch(notch, tech, from_reserve=from_reserve)
    return notch


def test_the_reserve_is_kept_unless_it_is_asked_for(place, tech):
    set_up(place)
    put(place, 212, tech)
    put(place, 226, tech)
    now = ringing(place.event)
    assert (len(now.notches), now.free, now.in_reserve) == (2, 0, 2)
    with pytest.raises(NotSaved, match="kept free for the show"):
        put(place, 400, tech)
    put(place, 400, tech, from_reserve=True)
    put(place, 500, tech, from_reserve=True)
    with pytest.raises(NotSaved, match="All 4 notches are placed"):
        put(place, 600, tech, from_reserve=True)
    assert ringing(place.event).in_reserve == 0


def test_without_a_set_up_no_notch(place):
    with pytest.raises(NotSaved, match="Say first which outputs"):
        put(place, 300)
    assert not RingNotch.objects.exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"gain_db": 3.0}, "A notch cuts"),
        ({"q": 900.0}, "catches nothing"),
        ({"q": 0.1}, "is no notch"),
    ],
)
def test_what_is_no_notch_is_refused(place, fields, sentence):
    set_up(place)
    with pytest.raises(NotSaved, match=sentence):
        put(place, 300, **fields)


def test_one_frequency_once(place):
    set_up(place)
    put(place, 300)
    with pytest.raises(NotSaved, match="a notch at this frequency already"):
        put(place, 300)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"reserve": 5}, "No more can be kept free"),
        ({"notches": 40}, "leave no sound"),
        ({"outputs": [9]}, "there is no output 9"),
    ],
)
def test_a_set_up_that_cannot_be_is_refused(place, fields, sentence):
    with pytest.raises(NotSaved, match=sentence):
        set_up(place, **fields)


def test_no_more_notches_than_the_outputs_have_filters_free(place, tech):
    used = tuple(FilterPlan("peak", hz, gain_db=-1, q=2) for hz in (100, 200))
    factories.revise(place.event, OutputPlan(place.pk, 2, filters=used))
    with pytest.raises(NotSaved, match="4 filters for each output, and others are in use: 2 not"):
        set_up(place, notches=3, reserve=1)
    row = set_up(place, notches=2, reserve=0)
    put(place, 212)
    put(place, 226)
    set_notches(place.event, seen=1, reason="ring-out", person=tech)
    # Its own notches are no others: it can be saved again.
    set_up_ring_out(row, row.version, tech)
    assert room_for_notches(place, [1, 2]) == 2


def test_where_the_number_of_filters_is_unknown_nobody_refuses():
    place = factories.processor_place(
        factories.event(), factories.processor(filters_per_output=None, outputs=4)
    )
    assert room_for_notches(place, [1]) is None
    assert set_up(place, notches=20, reserve=10).pk


def test_notches_become_one_revision_on_every_output(place, tech):
    factories.revise(
        place.event, OutputPlan(place.pk, 1, filters=(FilterPlan("peak", 90, gain_db=1, q=2),))
    )
    set_up(place, notches=3, reserve=1)
    put(place, 212)
    put(place, 226)
    revision = set_notches(place.event, seen=1, reason="ring-out", person=tech)
    for number, before in ((1, [90.0]), (2, [])):
        output = revision.outputs.get(processor_place=place, number=number)
        assert [f.frequency_hz for f in output.filters.all()] == [*before, 212.0, 226.0]
    assert ringing(place.event).waiting == []
    with pytest.raises(NotSaved, match="No notch is waiting"):
        set_notches(place.event, seen=2, reason="again", person=tech)


def test_an_output_without_room_refuses_and_nothing_is_half_set(place, tech):
    full = tuple(FilterPlan("peak", hz, gain_db=-1, q=2) for hz in (100, 200, 400))
    set_up(place)
    put(place, 212)
    put(place, 226)
    factories.revise(place.event, OutputPlan(place.pk, 2, filters=full))
    with pytest.raises(NotSaved, match="room for 1 more of its 4 filters, and 2 notches wait"):
        set_notches(place.event, seen=1, reason="ring-out", person=tech)
    assert current_revision(place.event).number == 1
    assert len(ringing(place.event).waiting) == 2


def test_a_notch_that_is_set_does_not_vanish_from_the_sheet(place, tech):
    set_up(place)
    first = factories.revise(place.event, OutputPlan(place.pk, 1, gain_db=0.0))
    notch = put(place, 212)
    set_notches(place.event, seen=1, reason="ring-out", person=tech)
    with pytest.raises(NotSaved, match="Take it off the outputs' filters first"):
        take_notch_off(notch)
    go_back(first, seen=2, reason="without", person=tech)
    take_notch_off(notch)
    assert ringing(place.event).notches == []


def test_where_it_rang_is_its_margin(place, tech):
    rang = log_entry(
        RingEntry(event=place.event, microphone="Lectern", ended="rang", level_db=2.0), tech
    )
    clear = log_entry(
        RingEntry(event=place.event, microphone="Lectern", ended="clear", level_db=6.0), tech
    )
    assert (rang.margin_db, clear.margin_db) == (2.0, None)


def test_the_log_never_changes(place, tech):
    """The database itself refuses, also past the app."""
    row = log_entry(
        RingEntry(event=place.event, microphone="Lectern", ended="rang", level_db=2.0), tech
    )
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        RingEntry.objects.filter(pk=row.pk).update(level_db=9.0)
    tech.delete()
    row.refresh_from_db()
    assert row.made_by is None and row.level_db == 2.0


def test_the_venue_remembers_what_rang(place, tech):
    set_up(place)
    put(place, 212)
    log_entry(RingEntry(event=place.event, microphone="Vocal", ended="rang", level_db=1.0), tech)
    later = factories.event(space=place.event.space, out_at=place.event.back_at)
    elsewhere = factories.event(out_at=place.event.back_at)
    [(event, notches, entries)] = rang_here_before(later)
    assert event == place.event and notches[0].frequency_hz == 212
    assert entries[0].microphone == "Vocal"
    assert rang_here_before(place.event) == [] == rang_here_before(elsewhere)
