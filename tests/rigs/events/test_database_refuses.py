"""The database keeps its promises by itself, whatever the code above it believes."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction

from rigs.events import actions
from rigs.events.models import CountBooking, Event, KitRow, UnitBooking
from rigs.events.periods import Period
from rigs.events.queries import booking_period
from rigs.stock.models import Count
from tests import factories as make

HOUR = timedelta(hours=1)


def kit_row(event: Event, item, quantity: int = 1) -> KitRow:
    return KitRow.objects.create(event=event, item=item, quantity=quantity)


def count_booking(event: Event, item, quantity: int) -> CountBooking:
    return CountBooking.objects.create(
        row=kit_row(event, item, quantity),
        item=item,
        quantity=quantity,
        period=booking_period(event, item).as_range,
    )


def refused_by(caught: pytest.ExceptionInfo) -> str:
    return caught.value.__cause__.diag.constraint_name


@pytest.mark.django_db
def test_a_unit_twice_at_the_same_time() -> None:
    box = make.loudspeaker()
    unit, event, other = make.unit(box), make.event(), make.event()
    period = booking_period(event, box)
    UnitBooking.objects.create(row=kit_row(event, box), unit=unit, period=period.as_range)
    last_minute = Period(period.end - timedelta(minutes=1), period.end + HOUR)
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        UnitBooking.objects.create(row=kit_row(other, box), unit=unit, period=last_minute.as_range)
    assert refused_by(caught) == "unit_booked_once"
    after = Period(period.end, period.end + HOUR)
    UnitBooking.objects.create(row=kit_row(other, box), unit=unit, period=after.as_range)


@pytest.mark.django_db(transaction=True)
def test_a_unit_twice_is_refused_at_commit_where_a_transaction_put_it_off() -> None:
    box = make.loudspeaker()
    unit, event, other = make.unit(box), make.event(), make.event()
    period = booking_period(event, box).as_range
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS unit_booked_once DEFERRED")
        for who in (event, other):
            UnitBooking.objects.create(row=kit_row(who, box), unit=unit, period=period)
        assert UnitBooking.objects.count() == 2, "put off until commit"
    assert refused_by(caught) == "unit_booked_once"
    assert not UnitBooking.objects.exists()


@pytest.mark.django_db
def test_more_pieces_than_there_are_at_the_busiest_instant() -> None:
    cable = make.cable(turnaround=0 * HOUR)
    make.count(cable, 11, set_aside=1)
    morning = make.event(back_at=make.NOON + 20 * HOUR)
    evening = make.event(out_at=make.NOON + 20 * HOUR)
    count_booking(morning, cable, 6)
    count_booking(evening, cable, 7)
    both = make.event(out_at=make.NOON + HOUR)
    booking = count_booking(both, cable, 3)  # beside 6, then beside 7: 10 at most
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        CountBooking.objects.filter(pk=booking.pk).update(quantity=4)
    assert refused_by(caught) == "count_limit"
    with pytest.raises(IntegrityError), transaction.atomic():
        count_booking(make.event(), cable, 1)
    with pytest.raises(IntegrityError), transaction.atomic():
        CountBooking.objects.filter(row__event=morning).update(
            period=Period(morning.out_at, evening.out_at + HOUR).as_range
        )


@pytest.mark.django_db
def test_pieces_of_an_item_that_nobody_counted() -> None:
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        count_booking(make.event(), make.cable(), 1)
    assert refused_by(caught) == "count_limit"


@pytest.mark.django_db
@pytest.mark.parametrize("change", [{"owned": 5}, {"set_aside": 5}])
def test_a_count_below_what_is_promised_ahead(change: dict[str, int]) -> None:
    cable = make.cable()
    counted = make.count(cable, 10)
    count_booking(make.event(), cable, 6)
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        Count.objects.filter(pk=counted.pk).update(**change)
    assert refused_by(caught) == "count_limit"
    with pytest.raises(IntegrityError), transaction.atomic():
        counted.delete()
    Count.objects.filter(pk=counted.pk).update(owned=6)


@pytest.mark.django_db
def test_a_count_may_fall_below_what_was_promised_long_ago() -> None:
    cable = make.cable()
    counted = make.count(cable, 10)
    count_booking(make.event(out_at=make.NOON.replace(year=2020)), cable, 6)
    Count.objects.filter(pk=counted.pk).update(owned=1)
    counted.delete()


@pytest.mark.django_db
@pytest.mark.parametrize("bounds", ["[]", "(]", "()"])
def test_a_period_that_is_not_half_open(bounds: str) -> None:
    box = make.loudspeaker()
    event = make.event()
    period = booking_period(event, box).as_range
    odd = type(period)(period.lower, period.upper, bounds)
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        UnitBooking.objects.create(row=kit_row(event, box), unit=make.unit(box), period=odd)
    assert refused_by(caught) == "unit_booking_period_half_open"


@pytest.mark.django_db
@pytest.mark.parametrize("what", ["unit", "pieces"])
def test_what_only_the_database_sees_comes_back_as_the_sentence(
    what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Blind the code: it believes that everything is free."""
    item = make.loudspeaker() if what == "unit" else make.cable()
    if what == "unit":
        make.unit(item)
    else:
        make.count(item, 1)
    actions.put_on_kit(make.event(name="Fair"), item, 1)
    monkeypatch.setattr("rigs.events.booking.free_counts", lambda *_: {item.pk: 99})
    monkeypatch.setattr("rigs.events.booking.bookings_of_item", lambda *_: [])
    event = make.event()
    with pytest.raises(actions.Promised, match="Fair has 1 until"):
        actions.put_on_kit(event, item, 1)
    assert not event.kit.exists()
