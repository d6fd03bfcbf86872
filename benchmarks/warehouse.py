"""What is free for an event, and the kit list's search, on a company's year of bookings.

`python -m benchmarks.warehouse` measures in a process of its own, since Django can be set up
only once and the database must be a fresh one.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from benchmarks.figures import Figure, benchmark, median_seconds, paired_medians
from config.paths import PROJECT

GIVEN = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "RIGWRIGHT_MODE")
RUNS = 20
EVENTS = 300  # about six a week for a year
NAMES = (
    "warehouse.availability_ms",
    "warehouse.availability_queries",
    "warehouse.availability_sql",
    "warehouse.search_ms",
)
# Free pieces by item, asked of the database alone, written independently of ours: the promised
# pieces are counted at the start of the period and wherever a booking starts within it.
BARE = """
WITH wanted AS (
    SELECT i.id, i.tracking,
           tstzrange(%(out)s - i.preparation, %(back)s + i.turnaround) AS during
    FROM catalogue_item i WHERE i.id = ANY(%(items)s)
), held AS (
    SELECT b.item_id, b.period, b.quantity FROM events_countbooking b
    UNION ALL
    SELECT u.item_id, b.period, 1 FROM events_unitbooking b JOIN stock_unit u ON u.id = b.unit_id
), near AS (
    SELECT w.id, w.during, h.period, h.quantity
    FROM wanted w JOIN held h ON h.item_id = w.id AND h.period && w.during
), instants AS (
    SELECT DISTINCT id, greatest(lower(period), lower(during)) AS at FROM near
), promised AS (
    SELECT id, max(pieces) AS peak
    FROM (
        SELECT t.id, t.at, sum(n.quantity) AS pieces
        FROM instants t JOIN near n ON n.id = t.id AND n.period @> t.at
        GROUP BY t.id, t.at
    ) AS each_instant
    GROUP BY id
)
SELECT w.id,
       greatest(0, CASE WHEN w.tracking = 'serial'
           THEN (SELECT count(*) FROM stock_unit u WHERE u.item_id = w.id AND u.state = 'ready')
           ELSE coalesce((SELECT c.owned - c.set_aside FROM stock_count c
                          WHERE c.item_id = w.id), 0) END - coalesce(p.peak, 0))
FROM wanted w LEFT JOIN promised p ON p.id = w.id
"""


@benchmark(*NAMES)
def availability_and_search() -> Iterator[Figure]:
    data = Path(tempfile.mkdtemp(prefix="rigwright-bench-"))
    data.chmod(0o755)
    environment = {key: value for key, value in os.environ.items() if key not in GIVEN}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "config.embedded", sys.executable, "-m", "benchmarks.warehouse"],
            cwd=PROJECT,
            env=environment | {"RIGWRIGHT_DATA": str(data)},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
    finally:
        shutil.rmtree(data, ignore_errors=True)
    if done.returncode:
        raise RuntimeError(done.stderr.strip().splitlines()[-1])
    for figure in json.loads(done.stdout.splitlines()[-1]):
        yield Figure(**figure)


def _measure() -> list[dict[str, Any]]:
    from config.prepare import main as prepare

    prepare()
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from rigs.catalogue.models import Item
    from rigs.events.models import CountBooking, UnitBooking
    from rigs.events.queries import free_counts

    event, items = _year_of_events(), list(Item.objects.order_by("pk"))
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")  # as the database does by itself, later
    with CaptureQueriesContext(connection) as queries:
        ours = free_counts(event, items)
    count = len(queries)
    assert ours == _bare(event, items), "the two ways of counting differ"
    ours_s, bare_s = paired_medians(
        lambda: free_counts(event, items), lambda: _bare(event, items), RUNS
    )
    bookings = UnitBooking.objects.count() + CountBooking.objects.count()
    size = f"{len(items)} items, {bookings} bookings"
    return [
        {"name": NAMES[0], "value": 1000 * ours_s, "unit": "ms", "note": f"free of all; {size}"},
        {"name": NAMES[1], "value": count, "unit": "", "note": "for all items"},
        {
            "name": NAMES[2],
            "value": 1000 * bare_s,
            "unit": "ms",
            "ratio": bare_s / ours_s,
            "reference": "bare SQL, one statement, no Django models",
            "note": "same answer, asserted",
        },
        {
            "name": NAMES[3],
            "value": 1000 * _search_s(event),
            "unit": "ms",
            "note": f"median of {RUNS}, all of Django with its timeline, no network; {size}",
        },
    ]


def _year_of_events() -> Any:
    """A year of events with kit, one in its middle to be asked about.

    Written directly: one event's units are the next but one's again, so nothing clashes.
    """
    from django.utils import timezone

    from rigs.catalogue.models import Item
    from rigs.events.models import CountBooking, Event, UnitBooking
    from venues.models import Space

    space, start = Space.objects.order_by("pk")[0], timezone.now() + timedelta(days=400)
    names = ("out_at", "load_in_at", "show_from", "show_until", "back_at")
    events = []
    for number in range(EVENTS):
        out = start + timedelta(hours=29 * number)
        moments = [out + timedelta(hours=h) for h in (0, 4, 10, 14, 30)]
        fields = dict(zip(names, moments, strict=True))
        events.append(Event(name=f"Event {number}", space=space, **fields))
    Event.objects.bulk_create(events)
    items = Item.objects.order_by("pk").select_related("count").prefetch_related("units")
    bookings = [b for n, event in enumerate(events) for b in _kit(event, n, items)]
    UnitBooking.objects.bulk_create(b for b in bookings if isinstance(b, UnitBooking))
    CountBooking.objects.bulk_create(b for b in bookings if isinstance(b, CountBooking))
    return events[EVENTS // 2]


def _kit(event: Any, number: int, items: Any) -> Iterator[Any]:
    """Bookings of every second item: half of its units, or a third of its pieces."""
    from rigs.events.models import CountBooking, KitRow, UnitBooking
    from rigs.events.queries import booking_period

    booked = {}
    for item in list(items)[number // 2 % 2 :: 2]:
        units = [u for u in item.units.all() if u.state == "ready"][number % 2 :: 2]
        pieces = len(units) or (item.count.usable // 3 if hasattr(item, "count") else 0)
        if pieces:
            row = KitRow(event=event, item=item, quantity=pieces)
            booked[item.pk] = (row, units, booking_period(event, item).as_range)
    KitRow.objects.bulk_create(row for row, *_ in booked.values())
    for row, units, period in booked.values():
        yield from (UnitBooking(row=row, unit=unit, period=period) for unit in units)
        if not units:
            yield CountBooking(row=row, item=row.item, quantity=row.quantity, period=period)


def _bare(event: Any, items: list[Any]) -> dict[int, int]:
    from django.db import connection

    values = {"out": event.out_at, "back": event.back_at, "items": [item.pk for item in items]}
    with connection.cursor() as cursor:
        cursor.execute(BARE, values)
        return dict(cursor.fetchall())


def _search_s(event: Any) -> float:
    """Seconds of one search of the kit list, as the browser asks while somebody types."""
    from django.test import Client
    from django.urls import reverse

    from rigs.catalogue.models import Item
    from rigs.people.models import Person

    client = Client(headers={"host": "localhost", "HX-Request": "true"})
    client.force_login(Person.objects.get(username="warehouse"))
    address = reverse("events:search", args=[event.pk])
    maker = Item.objects.order_by("pk")[0].maker

    def search() -> None:
        answer = client.get(address, {"q": f"4 {maker}"})
        assert answer.status_code == 200
        assert maker in answer.content.decode()

    return median_seconds(search, RUNS)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    print(json.dumps(_measure()))
