"""Planning events in the browser: the list, the form, and its sentences."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import timezone

from rigs.events import actions
from rigs.events.models import Event, UnitBooking
from tests import factories as make

pytestmark = pytest.mark.django_db

TYPED = {
    "name": "Harvest Ball",
    "state": "planned",
    "out_at": "2027-10-29T08:00",
    "load_in_at": "2027-10-29T12:00",
    "show_from": "2027-10-30T20:00",
    "show_until": "2027-10-30T23:30",
    "back_at": "2027-10-31T14:00",
    "crest_factor_db": "12",
    "temperature_c": "20",
    "humidity_pct": "50",
    "contact": "Door by the quay",
}


@pytest.fixture
def manager(client: Client) -> Client:
    client.force_login(make.person("manager"))
    return client


@pytest.fixture
def berlin():
    return make.space(venue=make.venue(zone="Europe/Berlin"))


def errors(response) -> dict[str, list[str]]:
    return {k: [str(e) for e in v] for k, v in response.context["form"].errors.items()}


def test_times_are_typed_on_the_venues_clock(manager: Client, berlin) -> None:
    response = manager.post("/events/new/", {**TYPED, "space": berlin.pk})
    event = Event.objects.get()
    assert response.headers["Location"] == f"/events/{event.pk}/kit/"
    assert event.out_at == datetime(2027, 10, 29, 6, tzinfo=UTC)
    assert event.back_at == datetime(2027, 10, 31, 13, tzinfo=UTC)
    page = manager.get(f"/events/{event.pk}/times/").content.decode()
    assert 'value="2027-10-29T08:00"' in page
    assert "Clocks go back on Sun 31 Oct 03:00: from kit out to kit back" in page


@pytest.mark.parametrize(
    ("change", "field", "sentence"),
    [
        ({"show_until": "2027-10-30T19:00"}, "show_until", "must end after it starts"),
        ({"back_at": "2027-10-30T22:00"}, "back_at", "before the show ends"),
        ({"load_in_at": "2027-10-29T07:00"}, "load_in_at", "before the kit leaves"),
        ({"show_until": "2027-10-31T02:30"}, "show_until", "02:30 comes twice on Sun 31 Oct"),
        ({"back_at": ""}, "back_at", "Fill this in."),
        ({"back_at": "tomorrow"}, "back_at", "Give a date and a time"),
        ({"out_at": "2027-03-28T02:30"}, "out_at", "There is no 02:30 on Sun 28 Mar"),
        ({"humidity_pct": "-5"}, "humidity_pct", "Give 1 or more."),
        ({"audience": "900000"}, "audience", "More than 500,000 listeners?"),
        ({"crest_factor_db": "1"}, "crest_factor_db", "below a sine"),
        ({"state": "cancelled"}, "state", "not one of the choices"),
        ({"back_at": "2127-10-31T14:00"}, "back_at", "2127 is more than ten years ahead."),
        ({"out_at": "0202-10-29T08:00"}, "out_at", "0202 is more than ten years ago."),
        ({"back_at": "2028-11-30T14:00"}, "back_at", "An event lasts a year at most"),
    ],
)
def test_what_is_wrong_stands_by_its_field_and_nothing_typed_is_lost(
    manager: Client, berlin, change: dict, field: str, sentence: str
) -> None:
    typed = {**TYPED, "space": berlin.pk, **change}
    response = manager.post("/events/new/", typed)
    assert sentence in " ".join(errors(response)[field])
    assert list(errors(response)) == [field], "and by no other"
    assert not Event.objects.exists()
    page = response.content.decode()
    assert "Door by the quay" in page
    assert f'value="{typed["show_from"]}"' in page


def test_an_hour_that_comes_twice_can_be_chosen_and_is_kept(manager: Client, berlin) -> None:
    late = {"show_until": "2027-10-31T02:30", "show_until_which": "second"}
    manager.post("/events/new/", {**TYPED, "space": berlin.pk, **late})
    event = Event.objects.get()
    assert event.show_until == datetime(2027, 10, 31, 1, 30, tzinfo=UTC)
    page = manager.get(f"/events/{event.pk}/times/").content.decode()
    assert '<option value="second" selected>' in page


def test_a_clash_is_told_by_the_time_that_moved(manager: Client, berlin) -> None:
    box = make.loudspeaker(maker="Marrow", model="12")
    make.unit(box)
    manager.post("/events/new/", {**TYPED, "space": berlin.pk})
    event = Event.objects.get()
    actions.put_on_kit(event, box, 1)
    fair = make.event(name="Fair", space=berlin, out_at=event.back_at + timedelta(hours=3))
    actions.put_on_kit(fair, box, 1)
    response = manager.post(
        f"/events/{event.pk}/times/",
        {**TYPED, "space": berlin.pk, "version": 1, "back_at": "2027-10-31T18:00"},
    )
    assert "No Marrow 12 is free. Fair has 1 from" in errors(response)["back_at"][0]
    assert "2027-10-31T18:00" in response.content.decode()
    event.refresh_from_db()
    assert event.back_at == datetime(2027, 10, 31, 13, tzinfo=UTC)
    assert UnitBooking.objects.count() == 2


def test_two_people_saving_at_once_loses_neither(manager: Client, berlin) -> None:
    manager.post("/events/new/", {**TYPED, "space": berlin.pk})
    event = Event.objects.get()
    address = f"/events/{event.pk}/times/"
    manager.post(address, {**TYPED, "space": berlin.pk, "version": 1, "name": "Theirs"})
    mine = {**TYPED, "space": berlin.pk, "version": 1, "name": "Mine"}
    response = manager.post(address, mine)
    changed = Event.objects.get().changed_at.astimezone(ZoneInfo("Europe/Berlin"))
    told = errors(response)["__all__"][0]
    assert f"changed this at {changed:%H:%M} (Europe/Berlin) while you had it open" in told
    page = response.content.decode()
    assert 'value="Mine"' in page
    assert '<input type="hidden" name="version" value="2"' in page, "saving again replaces"
    event.refresh_from_db()
    assert event.name == "Theirs"


def test_cancelling_asks_first_and_taking_up_again_restores_all(manager: Client, berlin) -> None:
    event = make.event(space=berlin, name="Gala", state="confirmed")
    box = make.loudspeaker(maker="Marrow", model="12")
    make.units(box, 2)
    make.unit(box, "M-07")
    actions.put_on_kit(event, box, 2, serials=["M-07"])
    page = manager.get(f"/events/{event.pk}/times/").content.decode()
    assert f'action="/events/{event.pk}/cancel/"' not in page, "one click is not enough"
    page = " ".join(manager.get(f"/events/{event.pk}/cancel/").content.decode().split())
    assert "Cancel Gala?" in page
    assert "2 x Marrow 12 (line), M-07" in page
    event.refresh_from_db()
    assert event.state == "confirmed"
    manager.post(f"/events/{event.pk}/cancel/")
    manager.post(f"/events/{event.pk}/cancel/")  # pressed twice
    event.refresh_from_db()
    assert event.state == "cancelled"
    assert not UnitBooking.objects.exists()
    page = manager.get(f"/events/{event.pk}/kit/").content.decode()
    assert "holds nothing" in page
    manager.post(f"/events/{event.pk}/take-up-again/")
    event.refresh_from_db()
    assert event.state == "confirmed"
    assert UnitBooking.objects.get(chosen=True).unit.serial == "M-07"
    assert UnitBooking.objects.count() == 2


def test_a_serial_that_went_elsewhere_meanwhile_is_told(manager: Client, berlin) -> None:
    event = make.event(space=berlin)
    box = make.loudspeaker(maker="Marrow", model="12")
    make.unit(box)
    make.unit(box, "M-07")
    actions.put_on_kit(event, box, 1, serials=["M-07"])
    manager.post(f"/events/{event.pk}/cancel/")
    actions.put_on_kit(make.event(name="Fair", space=berlin), box, 1, serials=["M-07"])
    page = manager.post(f"/events/{event.pk}/take-up-again/", follow=True).content.decode()
    assert "Marrow 12 M-07 could not be had again: M-07 is with Fair until" in page
    event.refresh_from_db()
    assert event.state == "planned"
    assert UnitBooking.objects.filter(row__event=event, chosen=False).count() == 1


def test_upcoming_first_and_past_folded(manager: Client) -> None:
    now = timezone.now()
    day = timedelta(days=1)
    make.event(name="Long ago", out_at=now - 30 * day)
    make.event(name="Later", out_at=now + 20 * day)
    make.event(name="Soon", out_at=now + 2 * day)
    make.event(name="Out", out_at=now - timedelta(hours=5))
    page = manager.get("/events/").content.decode()
    order = [page.index(name) for name in (">Out<", ">Soon<", ">Later<", ">Long ago<")]
    assert order == sorted(order)
    assert page.index("<details") < page.index(">Long ago<")
    assert page.count("out now") == 1


def test_the_list_asks_as_often_for_fifty_events(
    manager: Client, django_assert_max_num_queries, django_assert_num_queries
) -> None:
    space = make.space()
    make.event(space=space)
    with django_assert_max_num_queries(12) as few:
        manager.get("/events/")
    for number in range(49):
        make.event(space=make.space() if number % 5 else space)
    with django_assert_num_queries(len(few.captured_queries)):
        manager.get("/events/")


def test_who_may_plan(client: Client) -> None:
    event = make.event()
    for role, plan, see in (("crew", 403, 200), ("warehouse", 403, 200), ("manager", 200, 200)):
        client.force_login(make.person(role))
        assert client.get("/events/").status_code == see
        assert client.get("/events/new/").status_code == plan
        assert client.get(f"/events/{event.pk}/times/").status_code == plan
        for address in ("cancel", "take-up-again"):
            expected = 302 if plan == 200 else 403
            assert client.post(f"/events/{event.pk}/{address}/").status_code == expected
    client.logout()
    assert client.get("/events/").status_code == 302
