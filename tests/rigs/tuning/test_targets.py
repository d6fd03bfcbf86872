"""Target curves: typed, kept for the company or a venue, changed, removed."""

import math
import re

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from rigs.people import rights
from rigs.tuning.aiming import read_points, write_points
from rigs.tuning.models import TargetCurve
from rigs.tuning.pictures.targets import SMALL_HIGH, boards, small_pictures
from tests import factories


@pytest.fixture
def tech(client, db):
    client.force_login(factories.person(rights.SYSTEM_TECH))
    return client


def add(client, **fields):
    values = {"name": "House", "venue": "", "table": "100, 3\n1000, 0"} | fields
    return client.post(reverse("tuning:target_new"), values)


def test_what_is_written_is_read_again():
    points = [(100.0, 3.0), (1000.0, 0.0), (8000.0, -2.5)]
    assert read_points(write_points(points)) == points


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "one point at least"),
        ("100", "Line 1: write Hz and dB"),
        ("100, x", "Line 1: write Hz and dB"),
        ("\n100, 1\n\n90, 2", "Line 4: frequencies must rise, but 100 Hz"),
        ("1, 0", "from 10 to 24000 Hz"),
        ("nan, 0", "from 10 to 24000 Hz"),
        ("100, nan", "within 24 dB"),
        ("100, 30", "within 24 dB"),
        ("\n".join(f"{hz}, 0" for hz in range(100, 125)), "At most 24 points; this has 25"),
    ],
)
def test_a_bad_one_gets_a_sentence(text, sentence):
    with pytest.raises(ValidationError) as fault:
        read_points(text)
    assert sentence in " ".join(fault.value.messages)


def test_it_is_kept_and_listed_beside_the_tools_own(tech):
    assert add(tech).status_code == 302
    page = tech.get(reverse("tuning:targets")).text
    assert "100 Hz +3 dB; 1000 Hz +0 dB" in page
    for own in ("flat", "gentle slope", "speech", "dance"):
        assert own in page


def test_a_name_is_free_for_each_venue_but_once(tech):
    venue = factories.event().space.venue
    assert add(tech).status_code == 302
    assert add(tech, venue=venue.pk).status_code == 302
    assert "of that name already" in add(tech, table="50, 1").text
    assert "50, 1</textarea>" in add(tech, table="50, 1").text
    assert TargetCurve.objects.count() == 2


def test_a_change_over_an_old_version_is_told_and_kept_on_the_page(tech):
    add(tech)
    row = TargetCurve.objects.get()
    url = reverse("tuning:target", args=[row.pk])
    values = {"name": "House", "venue": "", "table": "100, 4\n1000, 0", "seen": row.version}
    assert tech.post(url, values).status_code == 302
    again = tech.post(url, values | {"table": "100, 9"})
    assert "while you had it open" in again.text
    row.refresh_from_db()
    assert row.points == [[100.0, 4.0], [1000.0, 0.0]]


def test_it_is_removed_after_asking(tech):
    add(tech)
    row = TargetCurve.objects.get()
    url = reverse("tuning:target_remove", args=[row.pk])
    assert "Remove House?" in tech.get(url).text
    tech.post(url, {"seen": row.version + 1})
    assert TargetCurve.objects.count() == 1
    tech.post(url, {"seen": row.version})
    assert TargetCurve.objects.count() == 0


def route(svg: str, css: str) -> list[tuple[float, float]]:
    """Where a line of a picture runs, in the picture's units."""
    found = re.search(rf'<polyline class="{css}" points="([^"]*)"', svg)
    assert found
    return [(float(x), float(y)) for x, y in (part.split(",") for part in found[1].split())]


def test_each_curve_is_listed_with_its_picture_the_tools_own_too(tech):
    add(tech, table="100, 6\n1000, 0")
    page = tech.get(reverse("tuning:targets")).text
    assert page.count('class="picture small-curve"') == 5
    assert "+6 dB at 100 Hz, +0 dB at 1 kHz." in page


def test_small_pictures_share_one_scale():
    one, two = small_pictures([("low", [[1000, 6]]), ("high", [[1000, 20]])])
    middle = SMALL_HIGH / 2
    (_, low), *_ = route(one, "curve")
    (_, high), *_ = route(two, "curve")
    assert (middle - high) / (middle - low) == pytest.approx(20 / 6, rel=0.02)


def test_the_large_one_goes_straight_over_the_logarithm_and_stays_beyond_the_ends():
    for board in boards([[100.0, 12.0], [10_000.0, -12.0]]):
        (start, first), one, two, (end, last) = route(board.svg, "curve aim")
        assert (start, end) == (board.left, board.right)
        assert (first, last) == (one[1], two[1])
        middle = (board.top + board.bottom) / 2
        assert (one[1] + two[1]) / 2 == pytest.approx(middle, abs=0.2)
        octaves = math.log2(24_000 / 10)
        share = (two[0] - one[0]) / (board.right - board.left)
        assert share == pytest.approx(math.log2(100) / octaves, abs=0.002)


def test_a_curve_that_could_not_be_saved_is_still_drawn(tech):
    page = add(tech, name="", table="100, 6\n1000, 0").text
    assert "+6 dB at 100 Hz" in page
    assert "No point yet." in add(tech, table="100, six").text


def test_another_one_starts_from_a_curve_that_is_there(tech):
    add(tech, table="100, 6\n1000, 0")
    new, row = reverse("tuning:target_new"), TargetCurve.objects.get()
    assert "100, 6\n1000, 0</textarea>" in tech.get(new, {"begin": f"row:{row.pk}"}).text
    assert "60, -6\n140, 0" in tech.get(new, {"begin": "own:speech"}).text


@pytest.mark.parametrize(
    "begin", ["", "own:", "own:none", "row:", "row:x", "row:9999", "row:" + "9" * 40, "row:\u00b2"]
)
def test_nothing_to_start_from_is_an_empty_one(tech, begin):
    page = tech.get(reverse("tuning:target_new"), {"begin": begin})
    assert page.status_code == 200
    assert "No point yet." in page.text
