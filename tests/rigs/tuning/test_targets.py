"""Target curves: typed, kept for the company or a venue, changed, removed."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from rigs.people import rights
from rigs.tuning.aiming import read_points, write_points
from rigs.tuning.models import TargetCurve
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
