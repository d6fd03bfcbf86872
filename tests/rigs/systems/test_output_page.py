"""The page of an output: saved as a revision, tried without one, and what is wrong by its field."""

import html

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from rigs.people.rights import CREW, WAREHOUSE
from rigs.systems import queries
from rigs.systems.describe import freeze
from rigs.systems.describe.dialling.trying import tried_output
from rigs.systems.models import Link, Output, Revision
from tests import factories
from tests.rigs.systems.dialling import crossed_over, entries, passed, set_output, sub_and_top

pytestmark = pytest.mark.django_db


def address(rig, number=1, rest=""):
    return rig.url(f"processing/{rig.processor.pk}/{number}/{rest}")


def send(rig, rest="", number=1, **changes):
    return rig.client.post(address(rig, number, rest), entries(**changes))


def said(response):
    return html.unescape(response.content.decode())


def test_an_output_is_saved_as_a_revision_with_its_reason(rig):
    sub_and_top(rig)
    response = send(rig)
    assert response.status_code == 302 and response.url == address(rig)
    revision = Revision.objects.get()
    assert (revision.number, revision.reason, revision.made_by) == (1, "Sound check", rig.tech)
    row = Output.objects.get()
    assert (row.number, row.inputs, row.gain_db, row.delay_ms, row.inverted) == (
        1, [1], -3.0, 7.25, False,
    )  # fmt: skip
    assert [
        (f.kind, f.family, f.order, f.frequency_hz, f.gain_db, f.q) for f in row.filters.all()
    ] == [
        ("high-pass", "Linkwitz-Riley", 4, 98.4, 0.0, None),
        ("peak", "", 2, 250.0, -4.0, 2.0),
    ]


def test_the_stored_output_stands_in_the_form_as_it_was_typed(rig):
    sub_and_top(rig)
    send(rig)
    page = said(rig.client.get(address(rig)))
    for value in ("7.25", "98.4", "250"):
        assert f'value="{value}"' in page
    assert "High-pass" in page and 'value="-3"' in page


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"reason": " "}, "reason", "Say why"),
        ({"delay_ms": "-1"}, "delay_ms", "No processor can look ahead"),
        ({"delay_ms": "soon"}, "delay_ms", "number"),
        ({"delay_ms": "2001"}, "delay_ms", "not believable"),
        ({"delay_ms": "nan"}, "delay_ms", "number"),
        ({"gain_db": "41"}, "gain_db", "not believable"),
        ({"high_hz": ""}, "high_hz", "Say at which frequency"),
        ({"high_family": ""}, "high_family", "Say which family"),
        ({"high_order": "3"}, "high_order", "12, 24, 36 or 48"),
        ({"high_order": "9"}, "high_order", "not one of"),
        ({"low_hz": "80"}, "low_family", "Say which family"),
        ({"high_hz": "2"}, "high_hz", "Below 5 Hz"),
        ({"inputs": ["7"]}, "inputs", "not one of"),
    ],
)
def test_wrong_entries_are_told_by_their_field_and_nothing_is_lost(rig, changes, field, sentence):
    sub_and_top(rig)
    response = send(rig, **changes)
    assert response.status_code == 200
    assert sentence in " ".join(response.context["form"].errors[field])
    assert 'value="250"' in said(response)
    assert not Revision.objects.exists()


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"filter-0-kind": ""}, "kind", "Say which kind"),
        ({"filter-0-hz": ""}, "hz", "Say at which frequency"),
        ({"filter-0-gain": ""}, "gain", "Say by how much"),
        ({"filter-0-q": ""}, "q", "Say how narrow"),
        ({"filter-0-kind": "notch"}, "gain", "has no gain"),
        ({"filter-0-kind": "bell"}, "kind", "not one of"),
        ({"filter-0-gain": "30"}, "gain", "20 dB at most"),
    ],
)
def test_wrong_filters_are_told_in_their_row(rig, changes, field, sentence):
    sub_and_top(rig)
    response = send(rig, **changes)
    row = response.context["form"].rows[0]
    assert sentence in " ".join(row.errors[field])
    assert not Revision.objects.exists()


def test_an_empty_filter_row_is_left_out(rig):
    sub_and_top(rig)
    blank = {f"filter-1-{name}": "" for name in ("kind", "hz", "gain", "q")}
    assert send(rig, rows="2", **blank).status_code == 302
    assert Output.objects.get().filters.count() == 2


def test_rows_come_and_go_without_javascript_and_keep_what_was_typed(rig):
    sub_and_top(rig)
    added = send(rig, do="add", reason="")
    form = added.context["form"]
    assert len(form.rows) == 2 and 'value="98.4"' in said(added) and 'value="250"' in said(added)
    assert not form.errors
    removed = send(rig, do="remove-0")
    assert not removed.context["form"].rows
    assert not Revision.objects.exists()


def test_trying_stores_nothing_and_answers_with_the_part_beside_the_form(rig):
    crossed_over(rig)
    before = Revision.objects.count()
    response = send(rig, "tried/", seen=before, reason="")
    page = said(response)
    assert response.status_code == 200
    assert "<html" not in page and 'id="output-answer"' in page and "<svg" in page
    assert "stored nowhere yet" in page
    assert Revision.objects.count() == before


def test_the_picture_follows_what_is_typed(rig):
    crossed_over(rig)
    pictures = {
        hz: said(send(rig, "tried/", seen=2, high_hz=hz)).split("This output alone")[1]
        for hz in ("80", "500")
    }
    assert pictures["80"] != pictures["500"]


def test_what_cannot_be_read_is_said_beside_the_picture_of_what_is_stored(rig):
    crossed_over(rig)
    page = said(send(rig, "tried/", seen=2, high_hz="much"))
    assert "some entries can't be read" in page and "<svg" in page


def test_somebody_elses_save_is_shown_and_nothing_typed_is_lost(rig):
    crossed_over(rig)
    response = send(rig, seen=1, delay_ms="3.5")
    page = said(response)
    assert response.status_code == 200
    assert "changed this at" in page and "Your entries" in page
    assert 'value="3.5"' in page
    assert response.context["met"]["number"] == 2
    assert "Linkwitz-Riley 24 dB/octave, 100 Hz" in page
    assert Revision.objects.count() == 2
    again = send(rig, seen=response.context["form"].seen, delay_ms="3.5")
    assert again.status_code == 302
    assert Revision.objects.count() == 3


def test_an_output_that_the_processor_has_not_is_not_found(rig):
    assert rig.client.get(address(rig, 7)).status_code == 404
    assert rig.client.get(rig.url("processing/999999/1/")).status_code == 404
    other = factories.processor_place(factories.event())
    assert rig.client.get(rig.url(f"processing/{other.pk}/1/")).status_code == 404


@pytest.mark.parametrize("role", [CREW, WAREHOUSE])
def test_others_read_it_and_change_nothing(rig, role):
    crossed_over(rig)
    rig.client.force_login(factories.person(role))
    page = rig.client.get(address(rig))
    assert page.status_code == 200
    assert "Linkwitz-Riley 24 dB/octave, 100 Hz" in said(page)
    assert "output-form" not in said(page)
    assert send(rig, seen=2).status_code == 403
    assert send(rig, "tried/", seen=2).status_code == 403
    assert Revision.objects.count() == 2


def test_names_are_escaped(rig):
    rig.processor.name = "<b>Rack</b>"
    rig.processor.save()
    sub_and_top(rig)
    set_output(rig, 1, passed("high-pass"))
    page = rig.client.get(address(rig)).content.decode()
    assert "<b>Rack</b>" not in page and "&lt;b&gt;Rack" in page


def test_more_outputs_read_no_more_often(rig):
    crossed_over(rig)

    def count():
        with CaptureQueriesContext(connection) as seen:
            rig.client.post(address(rig, 1, "tried/"), entries(seen=9, reason=""))
        return len(seen)

    count()
    before = count()
    for number in (3, 4, 5, 6):
        set_output(rig, number, passed("high-pass", 200.0), passed("low-pass", 900.0))
    assert count() == before


def test_reading_only_what_an_output_plays_changes_no_answer(rig):
    crossed_over(rig)
    loudspeaker = factories.loudspeaker(model="Two ways", way={"name": "low", "high_hz": 1500.0})
    factories.add_way(loudspeaker, name="high", low_hz=900.0, high_hz=18_000.0)
    boxes = [factories.placement(rig.event, loudspeaker, name=f"Side {n}") for n in (1, 2)]
    for number, way in ((3, "low"), (4, "high")):
        line = factories.line(
            rig.event, name=f"Sides {way}", processor_place=rig.processor, output=number
        )
        for order, box in enumerate(boxes, start=1):
            Link.objects.create(
                line=line,
                order=order,
                placement=box,
                way=loudspeaker.ways.get(name=way),
                cable=factories.cable(),
                from_amplifier=order == 1,
            )
        kind = "low-pass" if way == "low" else "high-pass"
        set_output(rig, number, passed(kind, 1200.0), reason=f"{way} in")
    whole = freeze(queries.rig(rig.event.pk))
    for wished in whole.outputs:
        around = freeze(queries.rig_around_output(rig.event.pk, rig.processor.pk, wished.output))
        assert len(around.drive_lines) < len(whole.drive_lines)
        assert tried_output(around, wished) == tried_output(whole, wished)
    assert tried_output(whole, whole.outputs[2]).crossovers
    assert tried_output(whole, whole.outputs[2]).sheet.lines == ("Sides low",)
