"""Stage microphones: their form, the rig's page, what is described of them, overrides."""

import pytest

from rigs.systems.describe import describe
from rigs.systems.models import RingNotch, StageMicrophone
from tests import factories

pytestmark = pytest.mark.django_db


def lectern(**changes):
    return {
        "seen": "1",
        "name": "Lectern",
        "x_m": "0.5",
        "y_m": "-2",
        "z_m": "1.5",
        "azimuth_deg": "180",
        "tilt_deg": "20",
        "pattern": "cardioid",
        "source_m": "0.3",
        "is_open": "on",
        "equivalent_m": "",
    } | changes


def errors(response, field):
    return " ".join(response.context["form"].errors.get(field, []))


def test_a_microphone_is_saved_and_described(rig):
    kept_out = rig.line()
    posted = lectern(not_played_by=[kept_out.pk], equivalent_m="2.4")
    assert rig.client.post(rig.url("microphones/new/"), posted).status_code == 302
    row = StageMicrophone.objects.get()
    assert (row.x_m, row.pattern, row.changed_by) == (0.5, "cardioid", rig.tech)
    (described,) = describe(rig.event).microphones
    assert described.name == "Lectern" and described.source_m.value == 0.3
    assert (described.azimuth_deg, described.tilt_deg, described.is_open) == (180, 20, True)
    assert described.not_played_by == (kept_out.name,) and described.equivalent_m == 2.4


def test_what_is_left_empty_is_the_house_default_or_unknown(rig):
    empty = lectern(x_m="", y_m="", z_m="", azimuth_deg="", tilt_deg="", source_m="")
    rig.client.post(rig.url("microphones/new/"), empty)
    row = StageMicrophone.objects.get()
    assert (row.y_m, row.z_m, row.azimuth_deg, row.tilt_deg) == (-1, 1.5, 180, 0)
    assert row.source_m is None and not describe(rig.event).microphones[0].source_m.known


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", "n" * 41),
        ("x_m", "4000"),
        ("z_m", "inf"),
        ("azimuth_deg", "1000"),
        ("tilt_deg", "-91"),
        ("source_m", "0"),
        ("source_m", "-0.3"),
        ("source_m", "30 cm"),
        ("equivalent_m", "1e9"),
        ("pattern", "shotgun"),
        ("not_played_by", "99999999"),
    ],
)
def test_absurd_entries_are_said_by_their_field(rig, field, value):
    response = rig.client.post(rig.url("microphones/new/"), lectern(**{field: value}))
    assert response.status_code == 200 and errors(response, field)
    if field in ("x_m", "source_m"):
        assert f'value="{value}"' in response.content.decode()
    assert not StageMicrophone.objects.exists()


def test_a_name_stands_once(rig):
    rig.event.stagemicrophones.create(name="Lectern")
    response = rig.client.post(rig.url("microphones/new/"), lectern())
    assert "has a microphone of that name already" in errors(response, "name")


def test_a_line_of_another_event_is_none_to_keep_it_out_of(rig):
    other = factories.line(factories.event(space=rig.event.space))
    response = rig.client.post(rig.url("microphones/new/"), lectern(not_played_by=[other.pk]))
    assert errors(response, "not_played_by")


def test_somebody_elses_save_is_told_and_nothing_is_lost(rig):
    row = rig.event.stagemicrophones.create(name="Lectern", source_m=0.2, version=2)
    row.not_played_by.add(line := rig.line())
    response = rig.client.post(rig.url(f"microphones/{row.pk}/"), lectern(source_m="0.4"))
    assert response.status_code == 200
    told = dict(response.context["form"].theirs)
    assert told["Distance of the source in m"] == "0.2"
    assert told["Kept out of"] == line.name
    assert 'value="0.4"' in response.content.decode()


def test_removed_with_its_notches_left(rig):
    row = rig.event.stagemicrophones.create(name="Lectern")
    notch = RingNotch.objects.create(event=rig.event, frequency_hz=212, q=30, microphone=row)
    rig.client.post(rig.url(f"microphones/{row.pk}/remove/"), {"seen": "1"})
    assert not StageMicrophone.objects.exists()
    notch.refresh_from_db()
    assert notch.microphone is None


def test_the_rigs_page_says_what_cannot_be_checked_and_why(rig):
    rig.event.stagemicrophones.create(name="Lectern")
    page = rig.client.get(rig.url()).content.decode()
    assert "Gain before feedback: Lectern" in page
    assert "Enter the distance." in page


def test_the_rigs_page_without_microphones_says_what_they_are_for(rig):
    page = rig.client.get(rig.url()).content.decode()
    assert "No microphone yet" in page and "Gain before feedback:" not in page


def test_a_finding_can_be_overridden(rig):
    rig.event.stagemicrophones.create(name="Lectern")
    page = rig.client.get(rig.url("overrides/new/?subject=Lectern&check=feedback"))
    assert "Enter the distance." in page.content.decode()


def test_more_microphones_ask_no_more_of_the_database(rig, django_assert_max_num_queries):
    rig.event.stagemicrophones.create(name="First", source_m=0.1)
    rig.client.get(rig.url())
    with django_assert_max_num_queries(60) as one:
        rig.client.get(rig.url())
    before = len(one)
    for number in range(6):
        rig.event.stagemicrophones.create(name=f"Other {number}", source_m=0.1)
    with django_assert_max_num_queries(before):
        rig.client.get(rig.url())
