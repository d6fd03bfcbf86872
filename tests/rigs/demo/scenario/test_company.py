"""Stock, venues, events and kit lists as the whole company has them."""

from collections import Counter
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.apps import apps
from django.db.models import Sum

from rigs.catalogue.models import Item
from rigs.events.actions import put_on_kit
from rigs.events.completion import MISSING, picked_from
from rigs.events.models import Event
from rigs.events.queries import connection_gaps, kit_rows
from rigs.events.refusals import Promised
from rigs.stock.models import Count, Rack, Unit
from rigs.systems import queries
from rigs.systems.unfinished import unfinished
from tests.rigs.demo.scenario.conftest import TODAY
from venues.models import AudienceArea, Circuit, Supply, Venue

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("filled")]

ROOMS = ("catalogue", "stock", "venues", "events", "systems")


def open_in(name: str) -> list[str]:
    """What the rig page says is not finished."""
    return [each.sentence for each in unfinished(queries.rig(Event.objects.get(name=name).pk))]


def test_every_row_is_valid_by_its_own_rules():
    """Unique and exclusion rules ask the database for each row, which obeys them anyway: they
    are asked here for some rows of each table, fields and own rules for all."""
    tables = [model for room in ROOMS for model in apps.get_app_config(room).get_models()]
    tables.remove(Item)  # each item is checked as what it is
    checked = 0
    for table in tables:
        links = {field.name for field in table._meta.fields if field.is_relation}
        for row in table.objects.select_related(*links):
            row.clean_fields(exclude=links)
            row.clean()
            checked += 1
        for row in table.objects.order_by("?")[:10]:
            row.full_clean()
    assert checked > 1500


def test_there_is_enough_stock():
    counted = Count.objects.aggregate(pieces=Sum("owned"))["pieces"]
    assert Unit.objects.count() + counted >= 600
    assert Unit.objects.filter(state="set aside").exclude(fault="").count() >= 5
    assert Count.objects.filter(set_aside__gt=0).exists()


def test_every_rack_is_wired_with_amplifiers_and_a_processor():
    for rack in Rack.objects.prefetch_related("units__item"):
        kinds = Counter(unit.item.kind for unit in rack.units.all())
        assert kinds["amplifier"] >= 2, rack
        assert kinds["processor"] == 1, rack


def test_venues_differ_in_kind_and_clock():
    assert Venue.objects.count() == 4
    summer, winter = (datetime(2030, month, 1) for month in (7, 1))
    offsets = {
        venue.zone: (summer.replace(tzinfo=(z := ZoneInfo(venue.zone))).utcoffset(),
                     winter.replace(tzinfo=z).utcoffset())
        for venue in Venue.objects.all()
    }  # fmt: skip
    assert any(summer != winter for summer, winter in offsets.values())
    assert len(set(offsets.values())) == 3
    assert AudienceArea.objects.filter(rake_deg__gt=0).exists()
    assert Supply.objects.filter(generator=True).exists()
    assert Supply.objects.filter(amps_per_phase=None).exists()
    assert Circuit.objects.filter(phase=None, breaker_a=None).exists()
    for supply in Supply.objects.filter(phases=3):
        assert set(supply.circuits.values_list("phase", flat=True)) == {1, 2, 3}


def test_a_rig_with_racks_has_its_mixer_and_knows_what_feeds_it_but_for_the_half_built_one():
    for event in Event.objects.exclude(amplifierplaces=None).distinct():
        racks = {place.rack for place in event.amplifierplaces.all()} - {""}
        fed = {feed.rack for feed in event.rackfeeds.all()} - {""}
        if event.name == "Saltmarsh Sessions":
            assert not fed
            continue
        assert fed == racks, event
        assert event.kit.filter(item=event.mixerplaces.get().mixer_id).exists(), event


def test_stands_and_mains_leads_of_a_rig_are_on_its_kit_list():
    for event in Event.objects.all():
        needed = Counter(event.supports.exclude(accessory=None).values_list("accessory", flat=True))
        needed += Counter(event.rackfeeds.exclude(cable=None).values_list("cable", flat=True))
        listed = Counter[int]()
        for item, quantity in event.kit.values_list("item", "quantity"):
            listed[item] += quantity
        assert not needed - listed, event


def test_fifteen_events_past_present_and_ahead():
    assert Event.objects.count() >= 15
    at_any_hour = [datetime.combine(TODAY, time(h), ZoneInfo("UTC")) for h in (0, 8, 23)]
    for now in at_any_hour:
        assert Event.objects.filter(show_from__lte=now, show_until__gt=now).exists()
        assert Event.objects.filter(back_at__lt=now).count() >= 3
        assert Event.objects.filter(out_at__gt=now).count() >= 8
    last = Event.objects.order_by("show_from").last()
    assert 7 * 7 <= (last.show_from.date() - TODAY).days <= 8 * 7


def test_one_event_lies_two_weeks_ahead_and_is_half_built():
    event = Event.objects.get(name="Saltmarsh Sessions")
    zone = ZoneInfo(event.space.venue.zone)
    assert event.show_from.astimezone(zone).date() == TODAY + timedelta(days=14)
    missing = [gap for gap in connection_gaps(picked_from(kit_rows(event))) if gap.state == MISSING]
    assert missing


def test_the_half_built_event_is_refused_what_the_ball_has():
    event = Event.objects.get(name="Saltmarsh Sessions")
    with pytest.raises(Promised, match=r"No Teaselmoor Haar 12 is free. Glassblowers' Ball has 4"):
        put_on_kit(event, Item.objects.get(model="Haar 12"), 1)


def test_kit_lists_hold_all_that_their_rigs_need_but_for_the_clash():
    short = {
        event.name: said
        for event in Event.objects.all()
        if (said := [s for s in open_in(event.name) if "on the kit list" in s])
    }
    assert short == {
        "Regatta Breakfast": ["2 x Gneisshaven Moraine 2-3000 in the rig, 1 on the kit list."]
    }


def test_the_gala_is_finished():
    assert open_in("Quayside Gala") == []


def test_nothing_is_missing_to_connect_the_gala():
    found = connection_gaps(picked_from(kit_rows(Event.objects.get(name="Quayside Gala"))))
    assert [gap.sentence for gap in found if gap.state == MISSING] == []


def test_the_clash_is_across_midnight_and_said_on_the_event():
    foundry, regatta = (
        Event.objects.get(name=name) for name in ("Foundry Night", "Regatta Breakfast")
    )
    zone = ZoneInfo(foundry.space.venue.zone)
    shows = [e.show_from.astimezone(zone).date() for e in (foundry, regatta)]
    assert shows[0] < shows[1]  # by date there is no clash
    assert foundry.back_at < regatta.out_at  # nor by the hour: only the test stands between
    assert regatta.out_at < foundry.back_at + timedelta(hours=2)
    assert "Foundry Night has 3" in regatta.notes
    assert "2 h test" in regatta.notes


def test_unit_bookings_name_the_racks_that_the_rig_was_planned_with():
    event = Event.objects.get(name="Quayside Gala")
    planned = {place.unit_id for place in event.amplifierplaces.all()}
    promised = {
        booking.unit_id
        for row in event.kit.filter(item__kind="amplifier")
        for booking in row.unit_bookings.filter(chosen=True)
    }
    assert planned == promised
