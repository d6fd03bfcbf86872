"""What is free, against a count at every single hour."""

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from rigs.events import queries
from rigs.events.models import CountBooking, KitRow, UnitBooking
from rigs.events.periods import Period
from tests import factories as make

HOUR = timedelta(hours=1)
HOURS = 30

spans = st.tuples(st.integers(0, HOURS - 1), st.integers(1, 10))
bookings = st.lists(st.tuples(spans, st.integers(1, 5)), max_size=8)


def at(hour: int):
    return make.NOON + hour * HOUR


class FreeCounts(TestCase):
    @settings(max_examples=40, deadline=None)
    @given(bookings, spans, st.integers(0, 3), st.integers(0, 3))
    def test_counted_pieces(self, held, asked, preparation: int, turnaround: int) -> None:
        cable = make.cable(preparation=preparation * HOUR, turnaround=turnaround * HOUR)
        make.count(cable, 60, set_aside=3)
        space = make.space()
        for (start, length), quantity in held:
            self.hold(space, cable, start, length, quantity)
        out, length = asked
        lowest = min(
            57 - sum(q for (start, long), q in held if start <= hour < start + long)
            for hour in range(out - preparation, out + length + turnaround)
        )
        got = queries.free_counts((at(out), at(out + length)), [cable])
        assert got == {cable.pk: lowest}

    @settings(max_examples=40, deadline=None)
    @given(st.lists(st.tuples(st.integers(0, 4), spans), max_size=12), spans)
    def test_units(self, held, asked) -> None:
        box = make.loudspeaker(turnaround=0 * HOUR)
        units = make.units(box, 5)
        space = make.space()
        kept: list[tuple[int, int, int]] = []
        for who, (start, length) in held:
            if any(u == who and start < b and a < start + length for u, a, b in kept):
                continue
            kept.append((who, start, start + length))
            row = KitRow.objects.create(event=make.event(space=space), item=box, quantity=1)
            period = Period(at(start), at(start + length)).as_range
            UnitBooking.objects.create(row=row, unit=units[who], period=period)
        out, length = asked
        lowest = min(
            5 - sum(a <= hour < b for _, a, b in kept) for hour in range(out, out + length)
        )
        got = queries.free_counts((at(out), at(out + length)), [box])
        assert got == {box.pk: lowest}

    def hold(self, space, cable, start: int, length: int, quantity: int) -> None:
        row = KitRow.objects.create(event=make.event(space=space), item=cable, quantity=quantity)
        period = Period(at(start), at(start + length)).as_range
        CountBooking.objects.create(row=row, item=cable, quantity=quantity, period=period)


@pytest.mark.django_db
def test_free_counts_ask_once_whatever_the_number_of_items(
    django_assert_num_queries,
) -> None:
    items = [make.cable() for _ in range(30)] + [make.loudspeaker() for _ in range(20)]
    event = make.event()
    with django_assert_num_queries(1):
        assert len(queries.free_counts(event, items)) == 50
