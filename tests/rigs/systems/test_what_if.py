"""A what-if stores nothing, says what is wrong, and equals what keeping it gives."""

import html

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from rigs.systems import queries
from rigs.systems.describe import checked_lines, describe, fingerprint
from rigs.systems.models import AmplifierPlace, DriveLine, Link
from tests import factories

pytestmark = pytest.mark.django_db


def asked(rig, **changes):
    return {
        "try-amplifier": rig.amp.amplifier_id,
        "try-gain_db": "",
        "try-mode": "per channel",
        "try-first_channel": "1",
        "try-level_control_db": "0",
        "try-run": "",
        "try-cable": "",
        "try-pieces": "",
    } | changes


def ask(rig, line, htmx=False, **changes):
    headers = {"HX-Request": "true", "HX-Target": "what-if-result"} if htmx else {}
    url = rig.url(f"lines/{line.pk}/")
    return rig.client.get(url, asked(rig, **changes), headers=headers)


def keep(rig, line, **changes):
    data = {"seen": "1", "seen_place": "1"} | asked(rig, **changes)
    return rig.client.post(rig.url(f"lines/{line.pk}/keep/"), data)


def rows():
    return [
        list(model.objects.order_by("pk").values()) for model in (DriveLine, Link, AmplifierPlace)
    ]


def changes_of(rig):
    """Each kind of what-if in turn, and all at once."""
    other = factories.amplifier(ratings={8.0: 300.0, 4.0: 500.0}, gain_db=26.0)
    thin = factories.cable(length_m=60.0, area_mm2=1.5)
    each = [
        {"try-amplifier": other.pk},
        {"try-gain_db": "26"},
        {"try-mode": "bridged"},
        {"try-level_control_db": "-6.5"},
        {"try-cable": thin.pk},
        {"try-run": "1", "try-cable": thin.pk},
        {"try-pieces": "3"},
    ]
    return [*each, {key: value for change in each[:1] + each[3:5] for key, value in change.items()}]


@pytest.mark.parametrize("number", range(8))
def test_what_is_shown_before_is_what_keeping_gives(rig, number):
    second = factories.placement(rig.event, rig.box.loudspeaker, name="Top right")
    line = factories.line(rig.event, rig.box, second, amp=rig.amp, run=rig.cable, name="Tops")
    change = changes_of(rig)[number]
    before, stored = fingerprint(describe(rig.event)), rows()

    shown = ask(rig, line, **change).context["tried"]

    assert rows() == stored and fingerprint(describe(rig.event)) == before
    assert not shown.faults
    response = keep(rig, line, **change)
    assert response.status_code == 302, response.context["what_if"].errors
    assert fingerprint(describe(rig.event)) != before
    now = checked_lines(describe(rig.event)).results["Tops"]
    assert shown.state_after == now.state
    assert {row.label: row.state_after for row in shown.findings} == {
        finding.title: finding.state for finding in now.findings
    }
    again = ask(rig, line, **_as_it_is(line)).context["tried"]
    kept = {row.label: row.before for row in again.findings}
    assert {row.label: row.after for row in shown.findings} == kept


def _as_it_is(line):
    line.refresh_from_db()
    place = line.amplifier_place
    place.refresh_from_db()
    return {
        "try-amplifier": place.amplifier_id,
        "try-gain_db": "" if place.gain_db is None else place.gain_db,
        "try-mode": line.mode,
        "try-level_control_db": line.level_control_db,
    }


def test_htmx_gets_only_before_and_after(rig):
    line = rig.line(name="Tops")
    response = ask(rig, line, htmx=True, **{"try-mode": "bridged"})
    page = response.content.decode()
    assert page.lstrip().startswith('<div id="what-if-result"') and "<html" not in page
    assert "HX-Target" in response.headers["Vary"]
    whole = ask(rig, line, **{"try-mode": "bridged"}).content.decode()
    assert 'id="what-if-result"' in whole and "<html" in whole and "Keep it" in whole


def test_a_channel_that_another_line_uses(rig):
    line = rig.line(name="Tops")
    other = factories.placement(rig.event, name="Sub 1")
    factories.line(rig.event, other, amp=rig.amp, name="Subs", first_channel=2)
    response = ask(rig, line, **{"try-mode": "bridged"})
    assert "Subs uses channel 2 of Amp A already" in html.unescape(response.content.decode())
    assert response.context["tried"].faults
    assert "Keep it" not in response.content.decode()
    assert keep(rig, line, **{"try-mode": "bridged"}).status_code == 200
    line.refresh_from_db()
    assert line.mode == "per channel"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"try-level_control_db": "3"}, "0 is fully up"),
        ({"try-level_control_db": "loud"}, "Give a number"),
        ({"try-level_control_db": "nan"}, "Give a number"),
        ({"try-gain_db": "900"}, "not believable"),
        ({"try-first_channel": "9"}, "has 2 channels"),
        ({"try-mode": "sideways"}, "not one of the choices"),
        ({"try-amplifier": "999999"}, "This choice is gone"),
        ({"try-amplifier": ""}, "Fill this in"),
        ({"try-cable": "x"}, "This choice is gone"),
        ({"try-run": "77"}, "not one of the choices"),
        ({"try-pieces": "0"}, "Give 1 or more"),
    ],
)
def test_bad_input_is_said_and_kept_in_the_form(rig, change, said):
    line = rig.line(name="Tops")
    stored = rows()
    for response in (ask(rig, line, **change), keep(rig, line, **change)):
        assert response.status_code == 200
        assert said in html.unescape(response.content.decode())
        [(name, value)] = change.items()
        assert response.context["what_if"][name.removeprefix("try-")].value() == value
    assert rows() == stored


def test_a_gain_that_the_switch_does_not_offer(rig):
    rig.amp.amplifier.gain_settings_db = [26.0, 32.0]
    rig.amp.amplifier.save()
    line = rig.line(name="Tops")
    page = html.unescape(ask(rig, line, **{"try-gain_db": "30"}).content.decode())
    assert "offers 26, 32 dB" in page


def test_another_type_lets_the_unit_go_and_says_so(rig):
    rig.amp.unit = factories.unit(rig.amp.amplifier)
    rig.amp.save()
    line = rig.line(name="Tops")
    other = factories.amplifier()
    page = ask(rig, line, **{"try-amplifier": other.pk}).content.decode()
    assert "put one on the kit list" in page and "let go" in page
    keep(rig, line, **{"try-amplifier": other.pk})
    rig.amp.refresh_from_db()
    assert (rig.amp.amplifier_id, rig.amp.unit) == (other.pk, None)


def test_the_other_lines_of_the_amplifier_are_shown(rig):
    line = rig.line(name="Tops")
    other = factories.placement(rig.event, name="Fill")
    factories.line(rig.event, other, amp=rig.amp, name="Fills", first_channel=2)
    weak = factories.amplifier(ratings={8.0: 30.0, 4.0: 50.0})
    shown = ask(rig, line, **{"try-amplifier": weak.pk}).context["tried"]
    assert [each.name for each in shown.others] == ["Fills"]


def test_somebody_who_saved_meanwhile_is_not_overwritten(rig):
    line = rig.line(name="Tops")
    DriveLine.objects.filter(pk=line.pk).update(version=2)
    response = keep(rig, line, **{"try-level_control_db": "-3"})
    assert response.status_code == 200 and "changed this at" in response.content.decode()
    line.refresh_from_db()
    assert line.level_control_db == 0


def test_those_who_may_only_look_can_try_but_not_keep(rig):
    line = rig.line(name="Tops")
    rig.client.force_login(factories.person("crew"))
    page = ask(rig, line, **{"try-mode": "bridged"}).content.decode()
    assert "Before" in page and "Keep it" not in page
    assert keep(rig, line, **{"try-mode": "bridged"}).status_code == 403


def test_queries_of_a_what_if_do_not_grow_with_the_rig(rig):
    line = rig.line(name="Tops")

    def count():
        with CaptureQueriesContext(connection) as seen:
            ask(rig, line, htmx=True, **{"try-mode": "bridged"})
        return len(seen)

    few = count()
    for number in range(10):
        box = factories.placement(rig.event, name=f"Box {number}")
        factories.line(rig.event, box, name=f"Line {number}")
    assert count() == few
    assert len(queries.rig(rig.event.pk).drivelines.all()) == 11
