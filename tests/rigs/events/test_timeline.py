"""The drawing of who has what around an event."""

from datetime import timedelta

import pytest

from rigs.events import actions
from rigs.events.timeline import WIDTH, timeline
from tests import factories as make

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def test_free_counts_per_interval_and_bars_in_order() -> None:
    box = make.loudspeaker(turnaround=2 * HOUR)
    make.units(box, 6)
    gala = make.event(name="Gala")
    before = make.event(
        name="Before", out_at=gala.out_at - 72 * HOUR, back_at=gala.out_at - 10 * HOUR
    )
    beside = make.event(name="Beside", out_at=gala.out_at + 24 * HOUR)
    for event, quantity in ((before, 5), (gala, 1), (beside, 2)):
        actions.put_on_kit(event, box, quantity)
    drawing = timeline(gala, box)
    assert [part.free for part in drawing.intervals] == [1, 6, 5, 3, 4]
    assert [part.inside for part in drawing.intervals] == [False, False, True, True, False]
    assert [(bar.name, bar.quantity, bar.own) for bar in drawing.bars] == [
        ("Before", 5, False),
        ("Gala", 1, True),
        ("Beside", 2, False),
    ]
    assert drawing.intervals[1].words == "Sat 1 Jun 04:00 to Sat 1 Jun 12:00"
    widths = [part.width for part in drawing.intervals]
    assert sum(widths) == pytest.approx(WIDTH, abs=0.5)
    assert drawing.stock.free == 3


def test_many_bookings_are_thinned_out_and_said(django_assert_num_queries) -> None:
    cable = make.cable()
    make.count(cable, 100)
    gala = make.event(name="Gala")
    for _ in range(13):
        actions.put_on_kit(make.event(), cable, 2)
    actions.put_on_kit(gala, cable, 2)
    gala.space.venue  # noqa: B018  fetched with the event on real pages
    with django_assert_num_queries(4):
        drawing = timeline(gala, cable)
    assert (len(drawing.bars), drawing.left_out) == (10, 4)
    assert "Gala" in [bar.name for bar in drawing.bars]
