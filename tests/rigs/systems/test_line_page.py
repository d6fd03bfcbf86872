"""Bad input on the page of a drive line: a sentence by its field, nothing typed is lost."""

import html

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from rigs.systems import actions
from rigs.systems.faults import NotSaved
from rigs.systems.models import DriveLine, Link
from tests import factories

pytestmark = pytest.mark.django_db


def send(rig, **changes):
    return rig.client.post(rig.url("lines/new/"), rig.entries(**changes))


def errors(response, field=None):
    form = response.context["form"]
    found = form.non_field_errors() if field is None else form.errors.get(field, [])
    return " ".join(found)


def row_errors(response, row, field="box"):
    return " ".join(response.context["form"].rows[row].errors.get(field, []))


def test_a_line_is_saved_whole(rig):
    second = factories.placement(rig.event, name="Top right")
    response = send(
        rig,
        rows="2",
        **{
            "box-1-box": rig.way(second),
            "box-1-cable": "",
            "box-1-pieces": "2",
            "box-1-start": "before",
        },
    )
    line = DriveLine.objects.get()
    assert response.status_code == 302 and response.url == rig.url(f"lines/{line.pk}/")
    assert line.changed_by == rig.tech
    assert [
        (k.order, k.placement, k.cable_id, k.pieces, k.from_amplifier) for k in line.links.all()
    ] == [(1, rig.box, rig.cable.pk, 1, True), (2, second, None, 2, False)]


def test_a_line_leads_to_what_its_output_does(rig):
    line = rig.line(name="Tops", processor_place=rig.processor, output=2)
    page = rig.client.get(rig.url(f"lines/{line.pk}/"))
    assert f"{rig.processor}, output 2</a>" in page.text
    assert rig.client.get(rig.url(f"processing/{rig.processor.pk}/2/")).status_code == 200


def test_a_channel_used_twice_names_the_other_line(rig):
    rig.line(name="Tops right", first_channel=1)
    other = factories.placement(rig.event, name="Sub 1")
    response = send(rig, **{"box-0-box": rig.way(other), "level_control_db": "-6.5"})
    assert response.status_code == 200
    assert "Tops right uses channel 1 of Amp A already" in errors(response, "first_channel")
    assert 'value="-6.5"' in response.content.decode()
    assert DriveLine.objects.count() == 1


def test_a_bridged_line_takes_the_second_channel_too(rig):
    rig.line(name="Tops right", first_channel=2)
    other = factories.placement(rig.event, name="Sub 1")
    response = send(rig, mode="bridged", **{"box-0-box": rig.way(other)})
    assert "Tops right uses channel 2" in errors(response, "first_channel")


def test_a_way_driven_by_two_names_the_other_line_by_its_row(rig):
    rig.line(name="Tops right", first_channel=2)
    response = send(rig)
    assert "Tops right drives Top left 'full range' already" in row_errors(response, 0)
    assert DriveLine.objects.count() == 1


def test_one_way_twice_on_one_line(rig):
    response = send(rig, rows="2", **{"box-1-box": rig.way(), "box-1-start": "amplifier"})
    assert "stands on this line twice" in row_errors(response, 1)
    assert not Link.objects.exists() and not DriveLine.objects.exists()


def test_an_output_beyond_the_processors(rig):
    response = send(rig, output="9")
    assert "has 6 outputs" in errors(response, "output")
    assert 'value="9"' in response.content.decode()


def test_an_output_of_no_processor(rig):
    response = send(rig, processor_place="")
    assert "which processor this output belongs to" in errors(response, "processor_place")


def test_a_channel_beyond_the_amplifiers(rig):
    response = send(rig, first_channel="3")
    assert "has 2 channels; this line would need channel 3" in errors(response, "first_channel")


@pytest.mark.parametrize("field", ["first_channel", "output"])
@pytest.mark.parametrize("value", ["0", "-2", "99999999999", "1.5", "two"])
def test_absurd_channels_and_outputs(rig, field, value):
    response = send(rig, **{field: value})
    assert errors(response, field)
    assert f'value="{value}"' in response.content.decode()
    assert not DriveLine.objects.exists()


def test_a_pair_starts_at_an_odd_channel(rig):
    rig.amp.amplifier.channels = 4
    rig.amp.amplifier.save()
    response = send(rig, mode="bridged", first_channel="2")
    assert "A pair starts at an odd channel" in errors(response, "first_channel")


@pytest.mark.parametrize("value", ["3", "-90", "loud", "nan", "-1e400"])
def test_an_absurd_level_control(rig, value):
    response = send(rig, level_control_db=value)
    assert response.status_code == 200
    assert errors(response, "level_control_db")
    assert f'value="{value}"' in response.content.decode()
    assert not DriveLine.objects.exists()


@pytest.mark.parametrize("pieces", ["0", "21", "many"])
def test_absurd_pieces(rig, pieces):
    response = send(rig, **{"box-0-pieces": pieces})
    assert row_errors(response, 0, "pieces")
    assert not DriveLine.objects.exists()


def test_a_cable_to_no_box(rig):
    response = send(rig, **{"box-0-box": ""})
    assert "which box this cable leads to" in row_errors(response, 0)


def test_a_name_twice(rig):
    rig.line(name="Tops left", first_channel=2)
    other = factories.placement(rig.event, name="Sub 1")
    response = send(rig, **{"box-0-box": rig.way(other)})
    assert "a drive line of that name already" in errors(response, "name")


def test_boxes_and_amplifiers_of_another_event_are_refused(rig):
    elsewhere = factories.event()
    response = send(
        rig,
        amplifier_place=factories.amplifier_place(elsewhere).pk,
        **{"box-0-box": rig.way(factories.placement(elsewhere))},
    )
    assert errors(response, "amplifier_place") and row_errors(response, 0)
    assert not DriveLine.objects.exists()


def test_adding_a_row_keeps_what_was_typed(rig):
    response = send(rig, do="add", name="Half typed", level_control_db="loud")
    page = response.content.decode()
    assert 'value="Half typed"' in page and 'value="loud"' in page
    assert 'name="rows" value="2"' in page
    assert f'<option value="{rig.way()}" selected>' in page
    assert not response.context["form"].errors
    assert not DriveLine.objects.exists()


def test_removing_a_row_keeps_the_others(rig):
    second = factories.placement(rig.event, name="Top right")
    response = send(rig, do="remove-0", rows="2", **{"box-1-box": rig.way(second)})
    form = response.context["form"]
    assert [row["box"].value() for row in form.rows] == [rig.way(second)]


@pytest.mark.parametrize("rows", ["-1", "x", "99999999999", ""])
def test_a_tampered_number_of_rows_is_survived(rig, rows):
    assert send(rig, rows=rows, do="add").status_code == 200


def test_two_people_saving_at_once_the_second_is_told_and_keeps_their_entries(rig):
    line = rig.line(name="Tops", processor_place=rig.processor, output=1)
    url = rig.url(f"lines/{line.pk}/")
    assert rig.client.post(url, rig.entries(name="First", seen="1")).status_code == 302

    response = rig.client.post(
        url, rig.entries(name="Second", seen="1", level_control_db="-4", output="2")
    )
    page = response.content.decode()
    assert response.status_code == 200
    assert "changed this at" in errors(response)
    assert 'value="Second"' in page and 'value="-4"' in page
    assert ("name", "First") in [
        (label.lower(), value) for label, value in response.context["form"].theirs
    ]
    line.refresh_from_db()
    assert line.name == "First"

    # What the page now carries lets the second person decide.
    again = rig.entries(name="Second", seen=str(response.context["form"].seen))
    assert rig.client.post(url, again).status_code == 302
    line.refresh_from_db()
    assert (line.name, line.version) == ("Second", 3)


def test_a_page_that_does_not_say_what_it_saw_overwrites_nothing(rig):
    line = rig.line(name="Tops")
    url = rig.url(f"lines/{line.pk}/")
    response = rig.client.post(url, rig.entries(name="Blind", seen=""))
    assert "changed this at" in errors(response)
    line.refresh_from_db()
    assert line.name == "Tops"


def test_a_line_removed_meanwhile(rig):
    line = rig.line(name="Tops")
    url = rig.url(f"lines/{line.pk}/remove/")
    assert rig.client.post(url, {"seen": "1"}).status_code == 302
    response = rig.client.post(url, {"seen": "1"}, follow=True)
    assert "not in the rig any more" in response.content.decode()


def test_the_page_shows_picture_figures_and_findings(rig):
    line = rig.line(name="Tops", processor_place=rig.processor, output=1)
    page = rig.client.get(rig.url(f"lines/{line.pk}/")).content.decode()
    assert page.count("<svg") == 4 and 'role="img"' in page
    assert "Loss in the cable" in page and "Why" in page
    assert "style=" not in page


def test_a_rig_that_calc_refuses_is_said_honestly(rig):
    line = rig.line(name="Tops")
    area = factories.area(space=rig.event.space, name="Floor")
    type(area).objects.update(corners=[[0, 0], [1, 0]])
    page = rig.client.get(rig.url(f"lines/{line.pk}/")).content.decode()
    assert (
        "cannot be checked" in page
        and "Area 'Floor' needs at least three corners" in html.unescape(page)
    )
    assert rig.client.get(rig.url()).status_code == 200


def two_boxes(rig, **changes):
    second = factories.placement(rig.event, rig.box.loudspeaker, name="Top right")
    return send(
        rig,
        rows="2",
        **{
            "box-1-box": rig.way(second),
            "box-1-cable": rig.cable.pk,
            "box-1-pieces": "1",
            "box-1-start": "series",
        }
        | changes,
    )


def test_boxes_in_series_add_their_impedances(rig):
    assert two_boxes(rig).status_code == 302
    line = DriveLine.objects.get()
    assert [link.series_with_previous for link in line.links.all()] == [False, True]
    response = rig.client.get(rig.url(f"lines/{line.pk}/"))
    assert response.context["result"].rated_load_ohm == 16
    assert "in series with Top left" in response.content.decode()
    assert response.context["form"].rows[1]["start"].value() == "series"


def test_a_series_box_cannot_stand_first(rig):
    link = Link(placement=rig.box, way=rig.box.loudspeaker.ways.get(), series_with_previous=True)
    line = DriveLine(event=rig.event, name="Tops", amplifier_place=rig.amp)
    with pytest.raises(NotSaved, match="no box before it to be in series with"):
        actions.save_line(line, [link], None, rig.tech)
    # A row left out moves the next one up: its start is then the amplifier's, and it is said.
    response = two_boxes(rig, **{"box-0-box": "", "box-0-cable": ""})
    assert "no box before it" in row_errors(response, 1)
    assert not DriveLine.objects.exists()


def test_the_database_forbids_a_series_box_without_one_before(rig):
    line = rig.line(name="Tops")
    for broken in ({"from_amplifier": True}, {"from_amplifier": False}):
        with pytest.raises(IntegrityError), transaction.atomic():
            line.links.update(series_with_previous=True, **broken)


def test_a_programme_rating_needs_a_reason_and_keeps_the_name(rig):
    response = send(rig, limiter_basis="programme", attack_ms="12")
    assert "say why it is right here" in errors(response, "limiter_basis_reason")
    assert response.context["form"].more_open
    assert 'name="attack_ms" value="12"' in response.content.decode()
    assert not DriveLine.objects.exists()

    reason = "The maker says so for this box"
    assert send(rig, limiter_basis="programme", limiter_basis_reason=reason).status_code == 302
    line = DriveLine.objects.get()
    assert line.limiter_basis_by == rig.tech

    rig.client.force_login(factories.person("manager"))
    url = rig.url(f"lines/{line.pk}/")
    kept = {"limiter_basis": "programme", "limiter_basis_reason": reason}
    rig.client.post(url, rig.entries(level_control_db="-3", **kept))
    line.refresh_from_db()
    assert (line.limiter_basis_by, line.level_control_db) == (rig.tech, -3)

    rig.client.post(url, rig.entries(seen="2"))
    line.refresh_from_db()
    assert (line.limiter_basis_by, line.limiter_basis_reason) == (None, "")


def test_the_database_forbids_a_programme_rating_of_nobody(rig):
    line = rig.line(name="Tops")
    for broken in (
        {"limiter_basis": "programme"},
        {"limiter_basis": "programme", "limiter_basis_by": rig.tech},
        {"limiter_basis_by": rig.tech},
        {"limiter_basis": "hope"},
        {"attack_ms": 0},
        {"nearest_listener_m": -1},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            DriveLine.objects.filter(pk=line.pk).update(**broken)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("attack_ms", "0"),
        ("attack_ms", "nan"),
        ("release_ms", "-5"),
        ("nearest_listener_m", "0"),
        ("limiter_basis", "hope"),
    ],
)
def test_absurd_entries_of_limiter_and_ladder(rig, field, value):
    response = send(rig, **{field: value})
    assert response.status_code == 200 and errors(response, field)
    assert response.context["form"].more_open
    assert not DriveLine.objects.exists()


def test_queries_of_the_page_do_not_grow_with_the_rig(rig):
    line = rig.line(name="Tops", processor_place=rig.processor, output=1)

    def count():
        with CaptureQueriesContext(connection) as seen:
            rig.client.get(rig.url(f"lines/{line.pk}/"))
        return len(seen)

    few = count()
    for number in range(10):
        box = factories.placement(rig.event, name=f"Box {number}")
        factories.line(rig.event, box, name=f"Line {number}")
    assert count() == few
