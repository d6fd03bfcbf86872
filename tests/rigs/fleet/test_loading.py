"""Amplifier loading over the events ahead: worst first, and each line named."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from rigs.fleet import grid, queries
from rigs.fleet.loading import loadings
from rigs.people import rights
from rigs.systems.models import RackFeed
from tests import factories
from venues.models import Supply

pytestmark = pytest.mark.django_db


def ahead(days: int = 7, **fields):
    return factories.event(out_at=timezone.now() + timedelta(days=days), **fields)


def line_of(event, amplifier, *ohms, chosen=None, **fields):
    """A line with boxes of these rated impedances on a fresh place of the amplifier."""
    boxes = [
        factories.placement(event, factories.loudspeaker(way={"rated_impedance_ohm": ohm}))
        for ohm in ohms
    ]
    place = factories.amplifier_place(event, amplifier, unit=chosen)
    return factories.line(event, *boxes, amp=place, **fields)


def built(*events, **wanted):
    return grid.build(
        loadings(events).lines, queries.amplifiers_with_units(), grid.Wanted(**wanted)
    )


@pytest.fixture
def manager(client):
    client.force_login(factories.person(rights.MANAGER))
    return client


def test_the_overloaded_type_comes_first_then_what_cannot_be_checked():
    event = ahead()
    easy, unknown = factories.amplifier(), factories.amplifier(minimum_ohm=None)
    hard = factories.amplifier(minimum_ohm=4.0)
    line_of(event, easy, 8)
    line_of(event, unknown, 8)
    line_of(event, hard, 8, 8, 8)  # three in parallel: 2.67 ohm
    shown = built(event, figure="load")
    assert [t.amplifier.pk for t in shown.types] == [hard.pk, unknown.pk, easy.pk]
    assert [t.shown.state for t in shown.types] == ["fails", "cannot check", "holds"]
    assert shown.types[0].shown.value == pytest.approx(2.667, abs=0.001)
    assert shown.types[1].shown.limit is None


def test_within_one_state_the_smaller_margin_comes_first():
    event = ahead()
    near, far = factories.amplifier(minimum_ohm=4.0), factories.amplifier(minimum_ohm=4.0)
    line_of(event, far, 16)
    line_of(event, near, 8)
    assert [t.amplifier.pk for t in built(event, figure="load").types] == [near.pk, far.pk]


def test_units_of_a_type_are_told_apart_and_the_worst_is_first():
    event, later = ahead(3), ahead(20)
    amp = factories.amplifier(minimum_ohm=4.0)
    good, bad, unused = factories.unit(amp), factories.unit(amp), factories.unit(amp)
    line_of(event, amp, 8, chosen=good)
    line_of(later, amp, 8, 8, 8, chosen=bad)
    line_of(later, amp, 8)
    (only,) = built(event, later, figure="load").types
    serials = [unit.unit[1] if unit.unit else None for unit in only.units]
    assert serials[0] == bad.serial
    assert set(serials) == {bad.serial, good.serial, None}
    assert only.idle_units == ((unused.pk, unused.serial),)
    assert only.channels == grid.ChannelUse(later.name, 2, 3 * amp.channels)


def test_each_cell_is_the_worst_line_of_its_event():
    first, second = ahead(3), ahead(9)
    amp = factories.amplifier(minimum_ohm=4.0)
    line_of(first, amp, 8)
    worse = line_of(first, amp, 8, 8)
    shown = built(second, first, figure="load")
    assert [c.event_id for c in shown.columns] == [first.pk]
    line_of(second, amp, 16)
    shown = built(second, first, figure="load")
    cells = shown.types[0].cells
    assert [cell.line.event_id for cell in cells] == [first.pk, second.pk]
    assert cells[0].line.line_id == worse.pk
    assert cells[0].lines == 2


def test_types_without_a_line_are_listed_apart():
    event = ahead()
    used, idle = factories.amplifier(), factories.amplifier()
    line_of(event, used, 8)
    factories.units(idle, 2)
    assert [(amplifier.pk, owned) for amplifier, owned in built(event).idle] == [(idle.pk, 2)]


@pytest.mark.parametrize(
    ("ohms", "near"), [((8, 8, 8), True), ((8, 8), True), ((8,), False), ((8, 10), False)]
)
def test_jobs_near_the_minimum_load(ohms, near):
    """Minimum 4 ohm: 2.67 lies below it, 4 on it, 4.44 beyond 10 % above it, 8 far off."""
    event = ahead()
    line = line_of(event, factories.amplifier(minimum_ohm=4.0), *ohms)
    assert [near.line_id for near in built(event).near_minimum] == ([line.pk] if near else [])


def test_filters_by_type_state_and_headroom():
    event = ahead()
    hard, easy = factories.amplifier(minimum_ohm=4.0), factories.amplifier(minimum_ohm=4.0)
    bad, good = line_of(event, hard, 8, 8, 8), line_of(event, easy, 8)
    assert built(event, amplifier_id=easy.pk).types[0].first.line_id == good.pk
    assert [t.first.line_id for t in built(event, state="fails", figure="load").types] == [bad.pk]
    of_easy = built(event, amplifier_id=easy.pk).types[0].first.headroom.value
    under = built(event, amplifier_id=easy.pk, headroom_under_db=of_easy + 0.1)
    assert under.lines == 1
    assert built(event, amplifier_id=easy.pk, headroom_under_db=of_easy - 0.1).lines == 0


def test_unknown_headroom_is_never_filtered_away():
    event = ahead()
    box = factories.placement(event, factories.loudspeaker(way={"noise_power_w": None}))
    factories.line(event, box)
    shown = built(event, headroom_under_db=-50.0)
    assert shown.lines == 1
    assert shown.types[0].first.headroom.state == "cannot check"


def test_a_rig_that_makes_no_sense_reads_cannot_check(monkeypatch):
    from rigs.fleet import loading
    from rigs.systems.describe import CheckedLines

    event = ahead()
    line_of(event, factories.amplifier(), 8)
    monkeypatch.setattr(loading, "checked_lines", lambda _: CheckedLines(fault="Two sheets."))
    (line,) = loadings([event]).lines
    assert {judged.state for judged in line.judged.values()} == {"cannot check"}
    assert line.worst.sentence == "Two sheets."


def test_peaks_above_the_boxes_rating_are_the_worst_of_a_line_that_else_holds():
    """700 W at 8 ohm is 106 V of peak; a peak rating of 1000 W at 8 ohm is 89.4 V: 1.5 dB."""
    event = ahead()
    box = factories.loudspeaker(way={"peak_power_w": 1000.0, "noise_power_w": 450.0})
    factories.line(event, factories.placement(event, box))
    (line,) = loadings([event]).lines
    assert (line.worst.check, line.worst.state) == ("peak", "tight")
    assert line.worst.value == pytest.approx(20 * math.log10(105.83 / 89.44), abs=0.01)
    (shown,) = built(event, figure="peak").types
    assert shown.shown == line.worst


def test_more_above_the_peak_rating_is_worse():
    event = ahead()
    lines = {}
    for peak_w in (1300.0, 900.0):
        box = factories.loudspeaker(way={"peak_power_w": peak_w, "noise_power_w": 450.0})
        amp = factories.amplifier_place(event, factories.amplifier())
        lines[peak_w] = factories.line(event, factories.placement(event, box), amp=amp)
    shown = built(event, figure="peak")
    assert [t.first.line_id for t in shown.types] == [lines[900.0].pk, lines[1300.0].pk]


def plugged(event, amps: float, **feed):
    """One amplifier of 5 A at 1/8 power on a board of so many amps a phase."""
    place = event.amplifierplaces.get()
    for field, value in (
        ("idle_w", 115.0), ("eighth_power_w", 1150.0), ("power_factor", 1.0), ("inrush_a", 20.0)
    ):  # fmt: skip
        setattr(place.amplifier, field, value)
    place.amplifier.save()
    board = Supply.objects.create(
        space=event.space, name="Board", phases=3, amps_per_phase=amps, voltage_v=230
    )
    RackFeed.objects.create(event=event, rack=place.rack, supply=board, phase=1, **feed)


@pytest.mark.parametrize(("amps", "states"), [(4.0, ["fails"]), (16.0, [])])
def test_a_phase_that_does_not_bear_it_is_named(manager, amps, states):
    event = ahead(name="Hot Night")
    line_of(event, factories.amplifier(), 8)
    plugged(event, amps)
    assert [trouble.state for trouble in loadings([event]).mains] == states
    page = manager.get(reverse("fleet:loading")).text
    assert (reverse("systems:mains", args=[event.pk]) in page) is bool(states)


def test_mains_that_nobody_described_are_not_called_trouble():
    event = ahead()
    line_of(event, factories.amplifier(), 8)
    assert loadings([event]).mains == []


def test_every_figure_on_the_page_leads_to_its_line(manager):
    event = ahead()
    line = line_of(event, factories.amplifier(minimum_ohm=4.0), 8, 8, 8)
    page = manager.get(reverse("fleet:loading"))
    assert page.status_code == 200
    link = reverse("systems:line", args=[event.pk, line.pk])
    assert page.text.count(f'href="{link}"') >= 3  # in the grid, in the row, near the minimum
    assert 'data-state="fails"' in page.text
    assert "Any unit" in page.text


def test_past_and_called_off_events_are_left_out(manager):
    amp = factories.amplifier()
    line_of(ahead(-30, name="Long gone"), amp, 8)
    line_of(ahead(5, name="Called off", state="cancelled"), amp, 8)
    page = manager.get(reverse("fleet:loading")).text
    assert "Long gone" not in page
    assert "Called off" not in page
    assert "No event lies ahead" in page


def test_days_are_those_of_the_venue():
    """23:00 UTC on 1 June is already Sunday the 2nd in Helsinki (UTC+3)."""
    far = factories.space(venue=factories.venue(zone="Europe/Helsinki"))
    event = factories.event(out_at=datetime(2030, 6, 1, 23, tzinfo=UTC), space=far)
    line_of(event, factories.amplifier(), 8)
    assert built(event).columns[0].day == "Sun 2 Jun"


def test_the_window_leaves_out_later_events(manager):
    amp = factories.amplifier()
    line_of(ahead(3, name="Soon"), amp, 8)
    line_of(ahead(40, name="Later"), amp, 8)
    assert "Later" in manager.get("/loading/").text
    page = manager.get("/loading/", {"days": "7"}).text
    assert "Soon" in page
    assert "Later" not in page


def test_a_senseless_filter_is_a_sentence_and_stays_typed(manager):
    page = manager.get("/loading/", {"headroom": "lots"})
    assert page.status_code == 200
    assert "Write a number of dB" in page.text
    assert 'value="lots"' in page.text


def test_queries_stay_the_same_with_fifty_events(manager):
    def more(count):
        for number in range(count):
            amp = factories.amplifier()
            unit = factories.unit(amp)
            event = ahead(2 + number % 20)
            line_of(event, amp, 8, 8, chosen=unit)
            plugged(event, 4.0)

    more(1)
    with CaptureQueriesContext(connection) as one:
        manager.get("/loading/")
    more(49)
    with CaptureQueriesContext(connection) as fifty:
        page = manager.get("/loading/")
    assert page.text.count("<details") >= 50
    assert len(fifty) == len(one)
