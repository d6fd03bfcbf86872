"""Many people at once, each with a connection of their own."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from django.db import IntegrityError, connection, transaction

from rigs.catalogue.models import Item
from rigs.events import actions
from rigs.events.models import CountBooking, KitRow, UnitBooking
from rigs.events.queries import booking_period
from rigs.events.refusals import Promised
from rigs.stock.models import Count
from tests import factories as make

pytestmark = pytest.mark.django_db(transaction=True)
ATTEMPTS = 50


def at_once(jobs: list[Callable[[], object]]) -> list[object]:
    """Start all jobs at the same instant; what each returns or raises."""
    start = Barrier(len(jobs))

    def run(job: Callable[[], object]) -> object:
        try:
            connection.ensure_connection()
            start.wait(timeout=60)
            return job()
        except Exception as fault:
            return fault
        finally:
            connection.close()

    with ThreadPoolExecutor(len(jobs)) as pool:
        return list(pool.map(run, jobs))


def outcomes(results: list[object]) -> tuple[int, list[str]]:
    """How many won, and what the others were told."""
    told = [str(r) for r in results if isinstance(r, Promised)]
    won = [r for r in results if isinstance(r, KitRow)]
    assert len(told) + len(won) == len(results), results
    return len(won), told


def fifty_events_want(item: Item, quantity: int = 1) -> list[object]:
    space = make.space()
    hour = timedelta(hours=1)
    events = [make.event(space=space, out_at=make.NOON + n * hour) for n in range(ATTEMPTS)]
    return at_once([lambda e=e: actions.put_on_kit(e, item, quantity) for e in events])


def test_exactly_one_of_fifty_gets_the_last_unit() -> None:
    box = make.loudspeaker()
    make.unit(box)
    won, told = outcomes(fifty_events_want(box))
    assert won == 1
    assert len(told) == ATTEMPTS - 1
    winner = UnitBooking.objects.get().row.event
    assert all(t.startswith(f"No {box} is free. {winner} has 1 ") for t in told)
    assert KitRow.objects.count() == 1, "the others left nothing behind"


def test_the_last_counted_pieces_are_promised_once() -> None:
    cable = make.cable()
    make.count(cable, 10)
    won, told = outcomes(fifty_events_want(cable, quantity=3))
    assert won == 3
    assert all("Only 1 of 3" in t or "of 3" in t for t in told)
    assert sum(CountBooking.objects.values_list("quantity", flat=True)) == 9
    assert KitRow.objects.count() == 3


@pytest.mark.parametrize("level", ["READ COMMITTED", "REPEATABLE READ", "SERIALIZABLE"])
def test_the_database_alone_keeps_the_count_at_every_isolation_level(level: str) -> None:
    cable = make.cable()
    make.count(cable, 1)
    events = [make.event() for _ in range(12)]

    def book(event) -> object:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute(f"SET TRANSACTION ISOLATION LEVEL {level}")
            row = KitRow.objects.create(event=event, item=cable, quantity=1)
            period = booking_period(event, cable).as_range
            return CountBooking.objects.create(row=row, item=cable, quantity=1, period=period)

    results = at_once([lambda e=e: book(e) for e in events])
    assert sum(isinstance(r, CountBooking) for r in results) == 1
    assert CountBooking.objects.count() == 1


def test_lowering_the_count_and_promising_the_last_piece_cannot_both_win() -> None:
    cable = make.cable()
    for _ in range(5):
        CountBooking.objects.all().delete()
        Count.objects.filter(item=cable).delete()
        make.count(cable, 1)
        event = make.event()
        results = at_once(
            [
                lambda: Count.objects.filter(item=cable).update(owned=0),
                lambda event=event: actions.put_on_kit(event, cable, 1),
            ]
        )
        lost = [r for r in results if isinstance(r, (IntegrityError, Promised))]
        assert len(lost) == 1, results
        owned = Count.objects.get(item=cable).owned
        assert owned == CountBooking.objects.count()


def test_people_who_touch_many_items_in_any_order_never_block_each_other_for_good() -> None:
    """Change the times of events with the same items while others add those items."""
    items = [make.cable() for _ in range(3)] + [make.loudspeaker() for _ in range(3)]
    for item in items[:3]:
        make.count(item, 100)
    for item in items[3:]:
        make.units(item, 12)
    events = [make.event() for _ in range(8)]
    for number, event in enumerate(events):
        for item in items if number % 2 else reversed(items):
            actions.put_on_kit(event, item, 1)
    later = timedelta(hours=3)
    jobs: list[Callable[[], object]] = [
        lambda e=e: actions.change_event(e, 1, None, back_at=e.back_at + later) for e in events
    ]
    jobs += [lambda i=i: actions.put_on_kit(events[0], i, 1, place="spare") for i in items]
    results = at_once(jobs)
    assert not [r for r in results if isinstance(r, Exception)]
    assert UnitBooking.objects.count() == 8 * 3 + 3
