"""The page of listening spots: what they hear beside each other, and what is advised."""

import numpy as np
import pytest
from django.urls import reverse

from rigs.tuning.models import Analysis
from tests import factories
from tests.rigs.tuning.measured import measured

pytestmark = pytest.mark.django_db


def page_of(client, site) -> str:
    client.force_login(site.tech)
    return client.get(reverse("tuning:spots", args=[site.event.pk])).text


def raised(row, by_db, low_hz, high_hz):
    """Lift a stored spot over a range."""
    analysis = row.analyses.get()
    hz = 20 * 2 ** (np.arange(120) / 12)
    level = analysis.result["spot"]["level_db"]
    analysis.result["spot"]["level_db"] = [
        v + by_db if v is not None and low_hz <= f <= high_hz else v
        for v, f in zip(level, hz, strict=True)
    ]
    analysis.save()


def test_spots_without_recordings_are_shown_with_advice(client, site):
    text = page_of(client, site)
    assert "Mix" in text
    assert "Nothing was measured here" in text
    assert "Expect a hole near" in text
    assert "Worth adding" in text


def test_two_spots_are_compared_and_where_they_disagree_is_said(client, site):
    other = factories.spot(site.event, name="Side", x_m=-3)
    measured(site, site.spot)
    row = measured(site, other, seed=2)
    assert "differ by less than 6 dB" in page_of(client, site)
    raised(row, 16.0, 70, 140)
    text = page_of(client, site)
    # The twelfths of an octave whose middles lie from 70 to 140 Hz (MATH: 20 Hz x 2^(22/12) to
    # 20 Hz x 2^(33/12), half a step further each).
    assert "differ by 6 dB or more at 69.2 Hz to 138 Hz" in text
    assert "1: " in text
    assert "2: " in text
    assert "off the average" in text


def test_weights_move_the_average(client, site):
    other = factories.spot(site.event, name="Side", x_m=-3, weight=9)
    measured(site, site.spot)
    raised(measured(site, other, seed=2), 12.0, 70, 140)
    offs = [
        float(part.split(" dB")[0]) for part in page_of(client, site).split('figure-small">')[1:]
    ]
    assert offs[0] > 2 * offs[1]


def test_one_spot_alone_is_said_to_tell_little(client, site):
    measured(site, site.spot)
    assert "One spot only" in page_of(client, site)


def test_spots_at_which_other_lines_played_are_not_compared(client, site):
    other = factories.spot(site.event, name="Side", x_m=-3)
    measured(site, site.spot, lines=site.lines[:1])
    measured(site, other, seed=2, lines=site.lines[1:])
    text = page_of(client, site)
    assert "Not the same lines played" in text
    assert "What they hear" not in text


def test_more_spots_cost_no_more_queries(client, site, django_assert_max_num_queries):
    client.force_login(site.tech)
    url = reverse("tuning:spots", args=[site.event.pk])
    row = measured(site, site.spot)
    with django_assert_max_num_queries(200) as before:
        client.get(url)
    result = row.analyses.get().result
    for number in range(4):
        spot = factories.spot(site.event, name=f"Spot {number}", x_m=number)
        more = site.event.recordings.create(
            spot=spot, content="sweep", source="uploaded", rate_hz=48_000, channels=1, frames=9,
            look=row.look, sha256=f"{number}", file="recordings/none.wav",
        )  # fmt: skip
        Analysis.objects.create(
            recording=more, fingerprint=f"{number}", calc_version="4", state="done", result=result
        )
    with django_assert_max_num_queries(200) as after:
        assert "Spot 3" in client.get(url).text
    assert len(after) == len(before)
