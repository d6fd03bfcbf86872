"""New times, cancelling and taking up again: all kit follows, or nothing is changed."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from rigs.events import actions
from rigs.events.models import CountBooking, Event, KitRow, UnitBooking
from rigs.events.queries import booking_period, free_counts
from rigs.events.refusals import Promised, Refused
from rigs.stock.models import Unit
from rigs.versions import ChangedMeanwhile
from tests import factories as make

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def later(event: Event, by: timedelta) -> dict:
    return {name: getattr(event, name) + by for name in EVERY_TIME}


EVERY_TIME = ("out_at", "load_in_at", "show_from", "show_until", "back_at")


@pytest.fixture
def kit() -> tuple:
    box, cable = make.loudspeaker(maker="Marrow", model="12"), make.cable(maker="Reel", model="20")
    make.unit(box, "A")
    make.unit(box, "B")
    make.count(cable, 10)
    event = make.event(name="Gala")
    actions.put_on_kit(event, box, 1, serials=["A"])
    actions.put_on_kit(event, cable, 6)
    return event, box, cable


def test_all_kit_moves_with_the_event(kit: tuple) -> None:
    event, box, cable = kit
    moved = actions.change_event(event, 1, None, **later(event, 5 * DAY))
    booking = UnitBooking.objects.get()
    assert (booking.unit.serial, booking.chosen) == ("A", True)
    for stored, item in ((booking, box), (CountBooking.objects.get(), cable)):
        assert (stored.period.lower, stored.period.upper) == booking_period(moved, item)
    assert free_counts(event, [box, cable]) == {box.pk: 2, cable.pk: 10}, "old times are free"


def test_everything_that_clashes_is_named_and_nothing_is_changed(kit: tuple) -> None:
    event, box, cable = kit
    fair = make.event(name="Fair", out_at=event.out_at + 5 * DAY)
    actions.put_on_kit(fair, box, 2)
    actions.put_on_kit(fair, cable, 7)
    before = set(UnitBooking.objects.values_list("unit", "period", "row"))
    with pytest.raises(Promised) as clash:
        actions.change_event(event, 1, None, name="Gala, moved", **later(event, 5 * DAY))
    assert "No Marrow 12 is free. Fair has 2" in str(clash.value)
    assert "Only 3 of 6 Reel 20 are free. Fair has 7" in str(clash.value)
    event.refresh_from_db()
    assert (event.name, event.version, event.out_at) == ("Gala", 1, make.NOON)
    assert set(UnitBooking.objects.values_list("unit", "period", "row")) == before


def test_an_event_overlapping_its_own_old_times_is_no_clash(kit: tuple) -> None:
    event, *_ = kit
    actions.change_event(event, 1, None, back_at=event.back_at + timedelta(hours=1))
    assert UnitBooking.objects.count() == 1


def test_a_shortage_that_was_there_does_not_forbid_new_times(kit: tuple) -> None:
    event, box, _ = kit
    KitRow.objects.filter(item=box).update(quantity=5)
    actions.change_event(event, 1, None, **later(event, 5 * DAY))
    assert KitRow.objects.get(item=box).pieces_promised == 1


def test_a_unit_set_aside_meanwhile_does_not_travel_to_the_new_times(kit: tuple) -> None:
    event, *_ = kit
    Unit.objects.filter(serial="A").update(state="set aside", fault="hum")
    actions.change_event(event, 1, None, **later(event, 5 * DAY))
    assert not UnitBooking.objects.filter(unit__serial="A").exists()


def test_a_cancelled_event_holds_nothing_and_can_be_taken_up_again(kit: tuple) -> None:
    event, box, cable = kit
    actions.cancel_event(event, None)
    assert free_counts(event, [box, cable]) == {box.pk: 2, cable.pk: 10}
    assert event.kit.count() == 2, "the list stays to be read"
    with pytest.raises(Refused, match="Gala is cancelled and holds no kit"):
        actions.put_on_kit(event, box, 1)
    actions.take_up_again(event, None)
    assert free_counts(event, [box, cable]) == {box.pk: 1, cable.pk: 4}


def test_a_cancelled_event_is_not_taken_up_when_its_kit_is_gone(kit: tuple) -> None:
    event, box, _ = kit
    actions.cancel_event(event, None)
    actions.put_on_kit(make.event(name="Fair"), box, 2)
    with pytest.raises(Promised, match="Fair has 2"):
        actions.take_up_again(event, None)
    event.refresh_from_db()
    assert event.state == Event.State.CANCELLED
    assert not CountBooking.objects.exists()


def test_two_people_saving_at_once(kit: tuple) -> None:
    event, *_ = kit
    actions.change_event(event, 1, make.person("manager"), name="Gala, first")
    with pytest.raises(ChangedMeanwhile):
        actions.change_event(event, 1, None, name="Gala, second")
    event.refresh_from_db()
    assert (event.name, event.version) == ("Gala, first", 2)


def test_times_out_of_order_are_refused_by_field(kit: tuple) -> None:
    event, *_ = kit
    with pytest.raises(ValidationError) as wrong:
        actions.change_event(event, 1, None, show_until=event.show_from - DAY)
    assert wrong.value.message_dict["show_until"] == ["The show must end after it starts."]
