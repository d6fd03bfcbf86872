"""Overrides in a packet: as they were when it was asked for, and changing nothing."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from rigs.events.models import Event
from rigs.packets.actions import request_packet
from rigs.packets.compute import compute, findings_of
from rigs.packets.models import Packet
from rigs.packets.paper import make_pdf
from rigs.systems import actions
from rigs.systems.describe import describe
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet
from tests.rigs.packets.test_paper import words

pytestmark = pytest.mark.django_db
REASON = "Speech only, nobody turns it up"


@pytest.fixture
def event() -> Event:
    """Ahead of now, with three boxes on its first line: its load fails; so does its cable."""
    event = event_with_rig(1, out_at=timezone.now() + timedelta(hours=1))
    line, box = event.drivelines.get(), event.placements.get().loudspeaker
    thin = factories.cable(area_mm2=1.5, length_m=60.0)
    line.links.update(cable=thin)
    for order in (2, 3):
        line.links.create(
            order=order,
            placement=factories.placement(event, box, name=f"Top {order}"),
            way=box.ways.get(),
            cable=thin,
            from_amplifier=False,
        )
    return event


def finding_of(event: Event, check: str):
    found = findings_of(compute(describe(event)))
    return next(one for one in found if one.check == check and one.subject == "Line 1")


def give(event: Event, check: str, person=None, **more):
    someone = person or factories.person("system tech")
    return actions.give_override(event, finding_of(event, check), someone, REASON, **more)


def found_in(packet: Packet, check: str) -> dict:
    (card,) = [
        block
        for section in packet.sections
        if section["key"] == "lines"
        for block in section["blocks"]
        if block["kind"] == "card" and block["name"] == "Line 1"
    ]
    return next(one for one in card["findings"] if one["check"] == check)


def page(client, event: Event) -> str:
    client.force_login(factories.person("crew"))
    return client.get(reverse("packets:event", args=[event.pk])).content.decode()


def test_it_stands_beside_its_finding_and_changes_no_state(event, client):
    before = found_in(made_packet(event), "cable_loss")
    given = give(event, "cable_loss")
    packet = made_packet(event)
    after = found_in(packet, "cable_loss")
    assert after["override"]["word"] == "in force"
    assert after["override"]["person"] == str(given.person)
    assert after["override"]["reason"] == REASON
    assert {**after, "override": None} == before
    text = page(client, event)
    assert "override in force" in text and REASON in text and str(given.person) in text


def test_overload_waits_for_a_second_person_and_says_so(event, client):
    given = give(event, "load")
    assert found_in(made_packet(event), "load")["override"]["word"] == "waiting"
    assert "Not in force" in page(client, event)
    second = factories.person("manager")
    actions.confirm_override(given, finding_of(event, "load"), second)
    beside = found_in(made_packet(event), "load")["override"]
    assert (beside["word"], beside["second_person"]) == ("in force", str(second))


def test_the_load_on_the_racks_card_has_it_too(event):
    give(event, "load")
    racks = next(s for s in made_packet(event).sections if s["key"] == "racks")
    findings = [f for block in racks["blocks"] for f in block.get("findings", ())]
    assert [f["override"]["word"] for f in findings] == ["waiting"]


def test_one_that_was_given_for_other_figures_is_void(event):
    give(event, "cable_loss")
    event.drivelines.get().links.filter(order=3).delete()
    packet = made_packet(event)
    beside = found_in(packet, "cable_loss")["override"]
    assert beside["word"] == "void" and beside["sentence"].startswith("Void: ")
    step = next(s for s in packet.sections if s["key"] == "overrides")
    assert step["note"] == "1 void"


def test_one_whose_finding_is_gone_is_still_told(event):
    give(event, "cable_loss")
    event.drivelines.get().delete()
    step = next(s for s in made_packet(event).sections if s["key"] == "overrides")
    assert "Line 1" in step["blocks"][1]["items"][0] and "Void" in step["blocks"][1]["items"][0]


def test_its_time_runs_out_on_the_page_of_a_packet_that_never_changes(event, client):
    until = timezone.now() + timedelta(minutes=30)
    give(event, "cable_loss", expires_at=until)
    packet = made_packet(event)
    assert "override in force" in page(client, event)
    event.overrides.update(
        at=until - timedelta(days=2), expires_at=timezone.now() - timedelta(minutes=1)
    )
    later = made_packet(event)
    assert later.number == 2 and "override expired" in page(client, event)
    assert found_in(packet, "cable_loss")["override"]["word"] == "in force"


def test_a_packet_rendered_before_says_expired_after(event, client, monkeypatch):
    give(event, "cable_loss", expires_at=timezone.now() + timedelta(minutes=30))
    made_packet(event)
    assert "override in force" in page(client, event)
    later = timezone.now() + timedelta(hours=1)
    monkeypatch.setattr("rigs.packets.views.timezone.now", lambda: later)
    text = page(client, event)
    assert "override expired" in text and "override in force" not in text


def test_giving_and_withdrawing_makes_new_versions_and_is_said(event, client):
    packet = made_packet(event)
    given = give(event, "cable_loss")
    client.force_login(factories.person("crew"))
    said = client.get(reverse("packets:freshness", args=[packet.pk])).content.decode()
    assert "Override of Loss in the cable, Line 1: given." in said
    second = made_packet(event)
    assert second.number == 2 and second.run_id == packet.run_id
    assert request_packet(event, None) == second
    actions.withdraw(given, given.person)
    said = client.get(reverse("packets:freshness", args=[second.pk])).content.decode()
    assert "withdrawn." in said
    third = made_packet(event)
    assert third.overrides == [] and found_in(third, "cable_loss")["override"] is None


def test_the_database_refuses_to_change_them(event):
    give(event, "cable_loss")
    packet = made_packet(event)
    with pytest.raises(DatabaseError, match="never changes"), transaction.atomic():
        Packet.objects.filter(pk=packet.pk).update(overrides=[])


def test_they_are_on_paper_and_in_the_api(event, client):
    given = give(event, "cable_loss")
    packet = made_packet(event)
    text = words(make_pdf(packet, "http://localhost/packets/1/"))
    assert "override in force" in text and REASON in text
    client.force_login(factories.person("crew"))
    (listed,) = client.get(f"/api/packets/{packet.pk}/").json()["overrides"]
    assert (listed["person"], listed["check"]) == (str(given.person), "cable_loss")


def test_a_hostile_reason_is_only_text(event, client):
    hostile = '<script>alert(1)</script> #eval("1") <!-- tick -->'
    person = factories.person("system tech")
    actions.give_override(event, finding_of(event, "cable_loss"), person, hostile)
    packet = made_packet(event)
    text = page(client, event)
    assert "<script>alert" not in text and "&lt;!-- tick --&gt;" in text
    assert '#eval("1")' in words(make_pdf(packet, "http://localhost/packets/1/"))
