"""Pages of a fit: what is offered, what is refused, and that nothing is set unasked."""

import pytest
from django.urls import reverse

from rigs.people import rights
from rigs.systems.actions import go_back
from rigs.systems.plans import FilterPlan, OutputPlan
from rigs.systems.queries import current_revision
from rigs.tuning.models import Equalisation, TargetCurve
from rigs.tuning.tasks import fit
from tests import factories
from tests.rigs.tuning.measured import measured

pytestmark = pytest.mark.django_db

ASKED = {
    "target": "own:gentle slope", "part": "venue", "means": "peaks", "boost_db": "3",
    "filters": "", "low_hz": "60", "high_hz": "12000",
}  # fmt: skip


def page(client, name, *args):
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.text


def ask(client, site, **changes):
    data = ASKED | {"outputs": [f"{site.place.pk}:2"]} | changes
    return client.post(reverse("tuning:fits", args=[site.event.pk]), data)


def fitted(client, site, **changes) -> Equalisation:
    ask(client, site, **changes)
    row = Equalisation.objects.latest("pk")
    fit(row.pk)
    row.refresh_from_db()
    assert row.state == "done", row.fault
    return row


def take(client, row, **data):
    url = reverse("tuning:fit_take", args=[row.event_id, row.pk])
    return client.post(url, {"seen": "0", "reason": "first fit"} | data)


def test_without_anything_measured_it_says_what_to_do(client, site):
    client.force_login(site.tech)
    text = page(client, "tuning:fits", site.event.pk)
    assert "Record a sweep or pink noise" in text and "<button>Fit</button>" not in text


def test_only_outputs_that_feed_what_played_are_offered(client, heard):
    text = page(client, "tuning:fits", heard.event.pk)
    assert "2 spots" in text
    assert f'value="{heard.place.pk}:2"' in text and f'value="{heard.place.pk}:1"' not in text
    assert "gentle slope" in text


def test_a_spot_where_other_lines_played_is_left_out_and_said(client, heard):
    third = factories.spot(heard.event, name="Balcony", x_m=2)
    measured(heard, third, seed=3, lines=heard.lines)
    text = page(client, "tuning:fits", heard.event.pk)
    assert "Balcony is left out: other lines played there" in text and "2 spots" in text


def test_curves_of_other_venues_are_not_offered(client, heard):
    for name, venue in (("Ours", None), ("Here", heard.event.space.venue),
                        ("There", factories.space().venue)):  # fmt: skip
        TargetCurve.objects.create(name=name, venue=venue, points=[[1000, 0]])
    text = page(client, "tuning:fits", heard.event.pk)
    assert ">Ours<" in text and ">Here<" in text and ">There<" not in text


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"outputs": []}, "Choose one output at least."),
        ({"boost_db": "9"}, "More than 6 dB takes too much headroom"),
        ({"filters": "0"}, "One filter at least"),
        ({"low_hz": "5000", "high_hz": "6000"}, "span an octave"),
        ({"means": "graphic"}, "No processor that feeds what played has a graphic equaliser"),
        ({"target": "own:loud"}, "own:loud is not one of"),
    ],
)
def test_a_wrong_wish_is_told_and_what_was_typed_stays(client, heard, changes, sentence):
    answer = ask(client, heard, **({"high_hz": "11987"} | changes))
    assert sentence in answer.text
    assert changes.get("high_hz", "11987") in answer.text
    assert not Equalisation.objects.exists()


def test_a_fit_is_asked_for_shown_and_taken(client, heard):
    row = fitted(client, heard)
    text = page(client, "tuning:fit", heard.event.pk, row.pk)
    for said in (
        "Off the target",
        "Headroom it takes",
        "Left alone",
        "Take it into the processing",
    ):
        assert said in text
    assert current_revision(heard.event) is None
    answer = take(client, row)
    assert answer.status_code == 302
    revision = current_revision(heard.event)
    output = revision.outputs.get(processor_place=heard.place, number=2)
    assert output.filters.count() == len(row.result["filters"]) > 0
    assert "are in" in page(client, "tuning:fit", heard.event.pk, row.pk)
    assert "already" in take(client, row, seen="1").text


def test_the_gain_makes_up_for_what_the_filters_take(client, heard):
    row = fitted(client, heard)
    refused = take(client, row, with_gain="on")
    assert "Nobody said the gain of output 2" in refused.text
    assert current_revision(heard.event) is None
    factories.revise(heard.event, OutputPlan(heard.place.pk, 2, gain_db=-4.0))
    assert take(client, row, seen="1", with_gain="on").status_code == 302
    output = current_revision(heard.event).outputs.get(number=2)
    change = -row.result["pink_change_db"]
    assert output.gain_db == pytest.approx(-4.0 + change, abs=0.051)


def test_what_was_taken_is_not_fitted_twice_by_the_same_recordings(client, heard):
    first = factories.revise(heard.event, OutputPlan(heard.place.pk, 2, gain_db=-4.0))
    take(client, fitted(client, heard), seen="1")
    again = ask(client, heard, boost_db="0")
    assert "would be set twice" in again.text
    go_back(first, seen=2, reason="another try", person=heard.tech)
    assert ask(client, heard, boost_db="0").status_code == 302


def test_filters_that_are_in_use_leave_fewer_for_the_fit(client, heard):
    used = tuple(FilterPlan("peak", hz, gain_db=-1.0, q=2.0) for hz in (100, 200, 400))
    factories.revise(heard.event, OutputPlan(heard.place.pk, 2, filters=used))
    row = fitted(client, heard)
    assert row.inputs["limits"]["filters"] == 1 and len(row.result["filters"]) <= 1


def test_a_graphic_equaliser_is_offered_only_where_there_is_one(client, heard):
    assert 'value="graphic"' not in page(client, "tuning:fits", heard.event.pk)
    heard.place.processor.dials.create(quantity="graphic_db", least=-12, most=12, step=0.5)
    text = page(client, "tuning:fits", heard.event.pk)
    assert 'value="graphic"' in text and "Rack control has a graphic equaliser" in text


def test_of_two_processors_the_one_without_a_graphic_equaliser_is_refused(client, heard):
    sheet = factories.processor(dials={"graphic_db": {"least": -12, "most": 12, "step": 0.5}})
    other = factories.processor_place(heard.event, sheet, name="Spare")
    line = heard.lines[1]
    line.processor_place, line.output = other, 1
    line.save()
    for row in heard.event.recordings.all():
        row.lines.add(line)
    answer = ask(client, heard, means="graphic", high_hz="11987")
    assert "has no graphic equaliser" in answer.text and "11987" in answer.text
    assert not Equalisation.objects.exists()


def test_a_graphic_equaliser_is_set_by_hand(client, heard):
    heard.place.processor.dials.create(quantity="graphic_db", least=-12, most=12, step=0.5)
    row = fitted(client, heard, means="graphic")
    gains = [part["gain_db"] for part in row.result["filters"]]
    assert len(gains) == 31 and all((2 * gain).is_integer() for gain in gains)
    text = page(client, "tuning:fit", heard.event.pk, row.pk)
    assert "Bands to set by hand" in text and "Take it into" not in text
    assert "set by hand" in take(client, row).text
    assert current_revision(heard.event) is None


def test_somebody_elses_revision_is_not_overwritten(client, heard):
    row = fitted(client, heard)
    factories.revise(heard.event, OutputPlan(heard.place.pk, 1, gain_db=-4.0))
    assert take(client, row, seen="0", reason="mine").status_code == 200
    assert current_revision(heard.event).number == 1


def test_who_may_not_measure_sees_it_without_a_form(client, heard):
    row = fitted(client, heard)
    client.force_login(factories.person(rights.CREW))
    assert "<button>" not in page(client, "tuning:fits", heard.event.pk).split("<main")[1]
    assert "Take it into" not in page(client, "tuning:fit", heard.event.pk, row.pk)
    assert ask(client, heard).status_code == 403


def test_the_list_takes_no_more_queries_for_more_fits(client, heard, django_assert_max_num_queries):
    for boost in range(4):
        fitted(client, heard, boost_db=str(boost))
    with django_assert_max_num_queries(60):
        assert page(client, "tuning:fits", heard.event.pk).count("not taken") == 4
