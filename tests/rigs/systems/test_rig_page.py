"""The page of the whole rig: what it says, to whom, in how many queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from rigs.events.models import KitRow
from rigs.people.rights import CREW, MANAGER, SYSTEM_TECH, WAREHOUSE
from tests import factories

pytestmark = pytest.mark.django_db


def page(rig):
    return rig.client.get(rig.url()).content.decode()


def sentences(rig):
    return [item.sentence for item in rig.client.get(rig.url()).context["open"]]


def test_what_is_not_finished_is_listed(rig):
    factories.add_way(rig.box.loudspeaker, name="high")
    rig.line(name="Tops").links.update(cable=None)
    spare_amp = factories.amplifier_place(rig.event, rig.amp.amplifier, name="Amp B")
    KitRow.objects.create(event=rig.event, item=factories.loudspeaker(model="Unused"), quantity=2)
    found = sentences(rig)
    assert "Top left 'high' is driven by nobody." in found
    assert "Tops has no cable stated to Top left." in found
    assert "Tops has no processor output stated." in found
    assert f"{spare_amp} drives nothing." in found
    assert f"1 x {rig.box.loudspeaker} in the rig, none on the kit list." in found
    assert "2 x Testmade Unused on the kit list stand nowhere in the rig." in found


def test_spares_need_no_place_in_the_rig(rig):
    spare = factories.loudspeaker(model="Spare")
    KitRow.objects.create(event=rig.event, item=spare, quantity=2, place="spare")
    assert not [s for s in sentences(rig) if "Spare" in s]


def test_a_unit_set_aside_is_said(rig):
    rig.amp.unit = factories.unit(rig.amp.amplifier, "A-1", state="set aside", fault="hums")
    rig.amp.save()
    found = sentences(rig)
    assert "Amp A is unit A-1, which is set aside: hums." in found
    assert "Amp A is unit A-1, which is not on the kit list." in found


def test_a_finished_rig_has_nothing_open(rig):
    rig.line(name="Tops", processor_place=rig.processor, output=1)
    for item in (rig.box.loudspeaker, rig.amp.amplifier, rig.processor.processor, rig.cable):
        KitRow.objects.create(event=rig.event, item=item, quantity=1)
    assert sentences(rig) == []


def test_an_empty_rig_says_the_next_step(client):
    event = factories.event()
    client.force_login(factories.person(SYSTEM_TECH))
    shown = client.get(f"/events/{event.pk}/rig/").content.decode()
    assert "Next step:" in shown and "which boxes stand where" in shown


def test_each_line_shows_its_state(rig):
    rig.line(name="Tops")
    factories.line(rig.event, amp=factories.amplifier_place(rig.event), name="Empty")
    rows = rig.client.get(rig.url()).context["lines"]
    assert {row["line"].name: row["state"] for row in rows}["Empty"] == "cannot check"
    assert all(row["state"] in ("holds", "tight", "fails", "cannot check") for row in rows)


def queries(rig):
    with CaptureQueriesContext(connection) as seen:
        assert rig.client.get(rig.url()).status_code == 200
    return len(seen)


def test_queries_do_not_grow_with_the_rig(rig):
    rig.line(name="Tops")
    one = queries(rig)
    for number in range(49):
        box = factories.placement(rig.event, name=f"Box {number}")
        factories.line(rig.event, box, name=f"Line {number}")
    assert queries(rig) == one


def line_queries(rig, line):
    with CaptureQueriesContext(connection) as seen:
        assert rig.client.get(rig.url(f"lines/{line.pk}/")).status_code == 200
    return len(seen)


def test_queries_of_a_line_page_do_not_grow_with_its_boxes(rig):
    line = rig.line(name="Tops")
    one = line_queries(rig, line)
    boxes = [factories.placement(rig.event, name=f"Box {n}") for n in range(20)]
    long = factories.line(rig.event, *boxes, name="Long")
    assert line_queries(rig, long) == one


@pytest.mark.parametrize(
    ("role", "looks", "changes"),
    [
        (CREW, 200, 403),
        (WAREHOUSE, 200, 403),
        (MANAGER, 200, 200),
        (SYSTEM_TECH, 200, 200),
    ],
)
def test_rights(rig, client, role, looks, changes):
    line = rig.line(name="Tops")
    client.force_login(factories.person(role))
    for rest in ("", f"lines/{line.pk}/"):
        assert client.get(rig.url(rest)).status_code == looks
    for rest in (
        "lines/new/",
        "placements/new/",
        "placements/several/",
        f"placements/{rig.box.pk}/",
        f"amplifiers/{rig.amp.pk}/",
        "processors/new/",
        f"lines/{line.pk}/remove/",
    ):
        assert client.get(rig.url(rest)).status_code == changes, rest
    posted = client.post(rig.url(f"lines/{line.pk}/"), {"name": "x"})
    assert posted.status_code == changes


def test_crew_sees_no_form(rig, client):
    line = rig.line(name="Tops")
    client.force_login(factories.person(CREW))
    shown = client.get(rig.url(f"lines/{line.pk}/")).content.decode()
    assert 'id="line-form"' not in shown and "<svg" in shown
    assert "Add a drive line" not in client.get(rig.url()).content.decode()


def test_nobody_looks_without_an_account(rig, client):
    client.logout()
    response = client.get(rig.url())
    assert response.status_code == 302 and "sign-in" in response.url


def test_another_events_line_is_not_found(rig):
    other = factories.line(factories.event())
    assert rig.client.get(rig.url(f"lines/{other.pk}/")).status_code == 404
    assert rig.client.get("/events/999999/rig/").status_code == 404


def test_lines_on_one_output_with_different_limiters_are_told(rig):
    second = factories.placement(rig.event, name="Fill")
    fed = {"processor_place": rig.processor, "output": 1}
    line = rig.line(name="Tops", **fed)
    factories.line(
        rig.event, second, amp=rig.amp, name="Fills", first_channel=2, level_control_db=-6, **fed
    )
    for url in (rig.url(), rig.url(f"lines/{line.pk}/")):
        page = rig.client.get(url).content.decode()
        assert "What one processor output feeds" in page
        assert "whose limiters differ" in page
