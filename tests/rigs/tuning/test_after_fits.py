"""After a fit was taken: it is checked, and what of it may start the next event here."""

from datetime import timedelta

import numpy as np
import pytest
from django.urls import reverse

from rigs.people import rights
from rigs.systems.faults import NotSaved
from rigs.systems.plans import OutputPlan
from rigs.systems.queries import current_revision
from rigs.tuning.actions import carry
from rigs.tuning.models import Analysis
from tests import factories
from tests.rigs.tuning.measured import measured
from tests.rigs.tuning.test_fit_pages import fitted, page, take

pytestmark = pytest.mark.django_db


def taken(client, site, **changes):
    row = fitted(client, site, **changes)
    now = current_revision(site.event)
    assert take(client, row, seen=str(now.number if now else 0)).status_code == 302
    row.refresh_from_db()
    return row


def again(site, row, share):
    """Measure both spots again, each level moved by a share of what the filters promise."""
    for seed, spot in enumerate(site.event.listeningspots.order_by("name"), start=10):
        recording = measured(site, spot, seed=seed, lines=[site.lines[0]])
        before = Analysis.objects.filter(recording__spot=spot).order_by("pk").first()
        analysis = recording.analyses.get()
        analysis.result["spot"] = before.result["spot"] | {
            "level_db": [
                None if level is None else level + share * change
                for level, change in zip(
                    before.result["spot"]["level_db"], row.result["equaliser_db"], strict=True
                )
            ]
        }
        analysis.save()


def next_year(site, sheet=None):
    """Another event in the same space, with another box on output 1 of its own processor."""
    later = site.event.show_from + timedelta(days=300)
    event = factories.event(
        space=site.event.space, out_at=later - timedelta(hours=8), load_in_at=later,
        show_from=later, show_until=later + timedelta(hours=4),
        back_at=later + timedelta(hours=12),
    )  # fmt: skip
    place = factories.processor_place(event, name="New control")
    box = factories.placement(event, sheet)
    factories.line(event, box, name="New tops", processor_place=place, output=1)
    return event, place


def test_before_anything_was_measured_again_it_says_what_to_do(client, heard):
    row = taken(client, heard)
    text = page(client, "tuning:fit_check", heard.event.pk, row.pk)
    assert "Nothing was measured since" in text and "record the same spots again" in text


def test_filters_that_do_what_they_promised_hold(client, heard):
    row = taken(client, heard)
    again(heard, row, 1.0)
    text = page(client, "tuning:fit_check", heard.event.pk, row.pk)
    assert "does what was predicted" in text and "does nothing" not in text
    assert '<p class="figure">0.0 dB</p>' in text


def test_filters_that_were_never_set_are_found(client, heard):
    row = taken(client, heard, target="own:dance", boost_db="6")
    assert max(abs(part["gain_db"]) for part in row.result["filters"]) > 3
    again(heard, row, 0.0)
    text = page(client, "tuning:fit_check", heard.event.pk, row.pk)
    assert 'data-state="fails"' in text and "check" in text


def test_other_changes_since_are_said(client, heard):
    row = taken(client, heard)
    factories.revise(heard.event, OutputPlan(heard.place.pk, 1, gain_db=-4.0))
    again(heard, row, 1.0)
    text = page(client, "tuning:fit_check", heard.event.pk, row.pk)
    assert "it is at revision 2 now" in text


def test_what_was_not_taken_has_nothing_to_check(client, heard):
    row = fitted(client, heard)
    url = reverse("tuning:fit_check", args=[heard.event.pk, row.pk])
    assert client.get(url).status_code == 302


def test_the_next_event_here_sees_it_and_may_start_from_the_room_s_part(client, heard):
    row = taken(client, heard)
    event, place = next_year(heard)
    text = page(client, "tuning:fits", event.pk)
    assert "Here before" in text and str(heard.event) in text and "Start from these" in text
    assert current_revision(event) is None
    url = reverse("tuning:fit_carry", args=[event.pk, row.pk])
    assert "Nothing was measured this time yet" in client.get(url).text
    answer = client.post(url, {"outputs": [f"{place.pk}:1"], "reason": "as then", "seen": "0"})
    assert answer.status_code == 302
    output = current_revision(event).outputs.get(processor_place=place, number=1)
    assert [f.frequency_hz for f in output.filters.all()] == [
        part["frequency_hz"] for part in row.result["filters"]
    ]


def test_filters_of_boxes_never_go_to_other_boxes(client, heard):
    """Not by the page, and not by the action behind it."""
    row = taken(client, heard, part="boxes")
    event, place = next_year(heard)
    url = reverse("tuning:fit_carry", args=[event.pk, row.pk])
    answer = client.post(url, {"outputs": [f"{place.pk}:1"], "reason": "as then", "seen": "0"})
    assert "never carried over to others" in answer.text
    with pytest.raises(NotSaved, match="never carried over"):
        carry(row, place, [1], seen=0, reason="anyhow", person=None)
    assert current_revision(event) is None


def test_the_same_boxes_may_have_their_filters_again(client, heard):
    row = taken(client, heard, part="boxes")
    same = heard.lines[0].links.get().placement.loudspeaker
    _, place = next_year(heard, same)
    assert carry(row, place, [1], seen=0, reason="same tops", person=None).number == 1


def test_one_output_with_other_boxes_among_right_ones_is_refused(client, heard):
    row = taken(client, heard, part="boxes")
    same = heard.lines[0].links.get().placement.loudspeaker
    event, place = next_year(heard, same)
    other = factories.placement(event)
    factories.line(event, other, processor_place=place, output=2)
    for numbers in ([1, 2], [1, 3]):
        with pytest.raises(NotSaved, match=f"output {numbers[1]} drives"):
            carry(row, place, numbers, seen=0, reason="all of it", person=None)
    assert current_revision(event) is None


def test_filters_of_another_venue_are_no_start(client, heard):
    row = taken(client, heard)
    other = factories.event()
    place = factories.processor_place(other)
    with pytest.raises(NotSaved, match="not taken at this venue"):
        carry(row, place, [1], seen=0, reason="why not", person=None)
    assert "Here before" not in page(client, "tuning:fits", other.pk)
    assert client.get(reverse("tuning:fit_carry", args=[other.pk, row.pk])).status_code == 404


def test_the_two_times_are_laid_over_each_other(client, heard):
    row = taken(client, heard)
    event, _ = next_year(heard)
    line = event.drivelines.get()
    spot = factories.spot(event, name="Mix")
    site = type(heard)(event, spot, [line], heard.tech)
    measured(site, spot, lines=[line])
    text = client.get(reverse("tuning:fit_carry", args=[event.pk, row.pk])).text
    assert "this time" in text and "last time" in text
    assert np.isfinite(row.result["residual_after_db"])


def test_crew_looks_and_changes_nothing(client, heard):
    row = taken(client, heard)
    event, _ = next_year(heard)
    client.force_login(factories.person(rights.CREW))
    assert page(client, "tuning:fit_check", heard.event.pk, row.pk)
    assert client.get(reverse("tuning:fit_carry", args=[event.pk, row.pk])).status_code == 403
