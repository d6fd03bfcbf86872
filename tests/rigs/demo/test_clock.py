"""Whatever the day: the times of every event run in order, and the clash stays one."""

from datetime import date, timedelta

from rigs.demo.clock import TIMES, times_of
from rigs.demo.data.events import EVENTS
from rigs.demo.data.events.clash import FOUNDRY, REGATTA
from rigs.demo.data.venues import VENUES

ZONES = {venue.name: venue.zone for venue in VENUES}
TWO_YEARS = [date(2029, 6, 1) + timedelta(days=n) for n in range(730)]


def times(plan, today):
    return times_of(plan, today, ZONES[plan.venue])


def test_times_run_in_order_on_every_day_of_two_years():
    for plan in EVENTS:
        for today in TWO_YEARS:
            at = [times(plan, today)[name] for name in TIMES]
            assert at == sorted(at), (plan.name, today)
            assert at[2] < at[3]


def test_the_clash_is_one_on_every_day_of_two_years():
    for today in TWO_YEARS:
        back, out = times(FOUNDRY, today)["back"], times(REGATTA, today)["out"]
        assert back <= out < back + timedelta(hours=2), today


def test_clocks_change_inside_of_an_event():
    """20 days before 31 March 2030, when the clocks of London go forward in the night."""
    spring = times(FOUNDRY, date(2030, 3, 31) - timedelta(days=21))
    usual = times(FOUNDRY, date(2030, 6, 4))
    assert (usual["back"] - usual["start"]) - (spring["back"] - spring["start"]) == timedelta(
        hours=1
    )
