"""The event page: what each role sees and may do, in a constant number of queries."""

import json
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from rigs.packets import builds, presenting, tasks
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Tick
from rigs.packets.rendering import steps_as_kept
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet, thicker_cable

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client):
    client.force_login(factories.person("crew"))
    return client


@pytest.fixture
def tech(client):
    client.force_login(factories.person("system tech"))
    return client


def page(client, event) -> str:
    response = client.get(reverse("packets:event", args=[event.pk]))
    assert response.status_code == 200
    return response.content.decode()


def first_line_card(packet: Packet) -> dict:
    lines = next(s for s in packet.sections if s["key"] == "lines")
    return next(block for block in lines["blocks"] if block["kind"] == "card")


def test_no_packet_yet_offers_the_button_to_those_with_the_right(tech):
    text = page(tech, event_with_rig())
    assert "No packet yet" in text and "Build the packet" in text


def test_no_packet_yet_tells_others_whom_to_ask(crew):
    text = page(crew, event_with_rig())
    assert "No packet yet" in text and "Build the packet" not in text
    assert "Your system tech or manager" in text


def test_the_page_has_the_running_order_and_each_lines_deciding_figure(crew):
    event = event_with_rig()
    packet = made_packet(event)
    text = page(crew, event)
    steps = [
        text.index(f"<h2>{step}</h2>")
        for step in (
            "Kit",
            "Power",
            "Racks",
            "Lines",
            "Processing",
            "Coverage",
            "Not checked",
            "Load-out",
        )
    ]
    assert steps == sorted(steps)
    card = first_line_card(packet)
    assert card["figure"] in text and card["sentence"].split("'")[0] in text


def test_asking_by_the_page_queues_once_and_shows_progress(tech):
    event = event_with_rig()
    response = tech.post(reverse("packets:request", args=[event.pk]))
    assert response.status_code == 302
    text = page(tech, event)
    assert "is being built" in text and "<progress" in text and "waiting for a worker" in text


def test_progress_turns_into_the_packet(tech):
    packet = request_packet(event_with_rig(), None)
    address = reverse("packets:progress", args=[packet.pk])
    before = tech.get(address, headers={"HX-Request": "true"})
    assert b"<progress" in before.content and "HX-Retarget" not in before.headers
    tasks.build(packet.run_id)
    after = tech.get(address, headers={"HX-Request": "true"})
    assert after["HX-Retarget"] == "#packet" and b"running-order" in after.content


def test_a_failed_build_says_why_and_can_be_tried_again(tech, monkeypatch):
    event = event_with_rig()
    packet = request_packet(event, None)

    def refuse(*_):
        raise builds.CannotCompute("Line 1 uses a channel twice.")

    with monkeypatch.context() as patched:
        patched.setattr(builds, "compute", refuse)
        tasks.build(packet.run_id)
    text = page(tech, event)
    assert "Line 1 uses a channel twice." in text and "Try again" in text
    tech.post(reverse("packets:request", args=[event.pk]))
    tasks.build(packet.run_id)
    assert "running-order" in page(tech, event)


def test_an_old_version_says_so_and_leads_to_the_newest(crew):
    event = event_with_rig()
    old = made_packet(event)
    thicker_cable(event)
    made_packet(event)
    text = crew.get(reverse("packets:packet", args=[old.pk])).content.decode()
    newest = reverse("packets:event", args=[event.pk])
    assert "This is version 1" in text and f'href="{newest}">version 2<' in text
    assert "This is version" not in page(crew, event)


def test_an_old_version_says_so_while_a_newer_one_is_not_built_yet(crew):
    event = event_with_rig()
    old = made_packet(event)
    thicker_cable(event)
    made_packet(event)
    event.kit.update(quantity=7)
    event.placements.filter(name="Top 1").update(x_m=3.0)
    assert not request_packet(event, None).made
    text = crew.get(reverse("packets:packet", args=[old.pk])).content.decode()
    assert "This is version 1" in text and ">version 2<" in text
    assert "Version 3 is being built" in text


def test_out_of_date_says_what_changed(crew):
    event = event_with_rig()
    packet = made_packet(event)
    address = reverse("packets:freshness", args=[packet.pk])
    assert b"Up to date" in crew.get(address, headers={"HX-Request": "true"}).content
    cable = thicker_cable(event)
    event.kit.filter(item__kind="loudspeaker").update(quantity=5)
    text = crew.get(address).content.decode()
    assert "Out of date" in text and str(cable) in text and "2 became 5" in text


def test_crew_reads_everything_and_changes_nothing(crew):
    event = event_with_rig()
    packet = made_packet(event)
    for name in ("packet", "freshness", "description", "pdf"):
        assert crew.get(reverse(f"packets:{name}", args=[packet.pk])).status_code == 200
    card = first_line_card(packet)["key"]
    assert crew.post(reverse("packets:tick", args=[packet.pk]), {"card": card}).status_code == 403
    assert crew.post(reverse("packets:request", args=[event.pk])).status_code == 403
    assert not Tick.objects.exists() and Packet.objects.count() == 1
    assert "Seen on site<" not in page(crew, event)


@pytest.mark.parametrize("role", ["warehouse", "manager", "crew"])
def test_only_those_with_the_right_tick(client, role):
    packet = made_packet(event_with_rig())
    client.force_login(factories.person(role))
    card = first_line_card(packet)["key"]
    assert client.post(reverse("packets:tick", args=[packet.pk]), {"card": card}).status_code == 403


def test_people_without_a_role_see_no_packet(client):
    event = event_with_rig()
    packet = made_packet(event)
    person = factories.person("crew")
    person.groups.clear()
    client.force_login(person)
    for name, key in (
        ("event", event.pk),
        ("packet", packet.pk),
        ("pdf", packet.pk),
        ("description", packet.pk),
        ("freshness", packet.pk),
    ):
        assert client.get(reverse(f"packets:{name}", args=[key])).status_code == 403
    assert client.get(f"/api/packets/{packet.pk}/").status_code == 403


def test_a_tick_says_who_and_when_and_can_be_taken_back(tech):
    event = event_with_rig()
    packet = made_packet(event)
    card = first_line_card(packet)
    address = reverse("packets:tick", args=[packet.pk])
    tech.post(address, {"card": card["key"], "seen": "yes"})
    tick = Tick.objects.get()
    assert f"by {tick.person}" in page(tech, event)
    back = {"card": card["key"], "seen": "no"}
    response = tech.post(address, back, headers={"HX-Request": "true"})
    assert b"Take the tick back" not in response.content
    assert not Tick.objects.exists()


def test_the_first_who_saw_it_stays(tech, client):
    packet = made_packet(event_with_rig())
    card = first_line_card(packet)["key"]
    address = reverse("packets:tick", args=[packet.pk])
    tech.post(address, {"card": card})
    first = Tick.objects.get()
    client.force_login(factories.person("system tech"))
    client.post(address, {"card": card})
    assert Tick.objects.get() == first


def test_a_card_that_the_packet_lacks_is_refused(tech):
    packet = made_packet(event_with_rig())
    response = tech.post(reverse("packets:tick", args=[packet.pk]), {"card": "line:elsewhere"})
    assert response.status_code == 400 and not Tick.objects.exists()


def test_a_plain_tick_without_htmx_comes_back_to_its_card(tech):
    packet = made_packet(event_with_rig())
    response = tech.post(
        reverse("packets:tick", args=[packet.pk]),
        {"card": first_line_card(packet)["key"], "anchor": "lines-1"},
    )
    assert response["Location"].endswith("?step=lines#lines-1")
    assert '<details class="step" open>' in tech.get(response["Location"]).content.decode()


def test_names_are_shown_as_text(crew):
    event = event_with_rig(name="<script>alert(1)</script>")
    event.placements.filter(name="Top 1").update(name="<b>x</b>")
    made_packet(event)
    text = page(crew, event)
    assert "<script>alert" not in text and "<b>x</b>" not in text
    assert "&lt;b&gt;x&lt;/b&gt;" in text


def test_the_page_has_no_inline_script_or_style(tech):
    event = event_with_rig()
    made_packet(event)
    text = page(tech, event)
    assert "<style" not in text and " style=" not in text and " onclick=" not in text
    assert "<script>" not in text


def test_a_picture_is_an_svg_that_follows_the_dark(crew):
    packet = made_packet(event_with_rig())
    response = crew.get(reverse("packets:picture", args=[packet.pk, "map-1"]))
    assert response["Content-Type"] == "image/svg+xml"
    assert b"prefers-color-scheme:dark" in response.content
    assert crew.get(reverse("packets:picture", args=[packet.pk, "map-9"])).status_code == 404


def test_the_api_gives_the_same_sections(crew):
    packet = made_packet(event_with_rig())
    answer = crew.get(f"/api/packets/{packet.pk}/").json()
    assert answer["sections"] == packet.sections
    assert (answer["state"], answer["fingerprint"]) == ("done", packet.run.fingerprint)
    assert crew.post(f"/api/packets/{packet.pk}/", {}).status_code == 405


def test_the_description_can_be_downloaded(crew):
    packet = made_packet(event_with_rig())
    response = crew.get(reverse("packets:description", args=[packet.pk]))
    assert "attachment" in response["Content-Disposition"]
    assert json.loads(response.content)["description"] == packet.run.description


@pytest.mark.parametrize(("lines", "versions"), [(1, 1), (50, 1), (2, 12)])
def test_the_page_takes_the_same_queries_whatever_its_size(
    crew, lines, versions, django_assert_max_num_queries
):
    event = event_with_rig(lines)
    packet = made_packet(event)
    for n in range(versions - 1):
        event.kit.update(quantity=n + 20)
        packet = request_packet(event, factories.person("manager"))
    cards = [b["key"] for s in packet.sections for b in s["blocks"] if b["kind"] == "card"]
    someone = factories.person("system tech")
    Tick.objects.bulk_create(Tick(packet=packet, card=card, person=someone) for card in cards)
    page(crew, event)
    with django_assert_max_num_queries(8):
        page(crew, event)


def test_a_packet_that_was_shown_before_is_not_read_again(crew):
    event = event_with_rig()
    made_packet(event)
    first = page(crew, event)
    with CaptureQueriesContext(connection) as queries:
        assert page(crew, event).count("<article") == first.count("<article")
    assert not any('"packets_packet"."sections" FROM' in one["sql"] for one in queries)
    steps_as_kept.cache_clear()
    with CaptureQueriesContext(connection) as cold:
        page(crew, event)
    assert len(cold) == len(queries) + 1


def test_the_next_time_that_matters_is_said_first(crew):
    event = event_with_rig()
    for before, words in (
        (event.load_in_at - timedelta(hours=3, minutes=10), ("load-in", "3 h 10")),
        (event.show_from - timedelta(minutes=40), ("show", "40 min")),
        (event.show_until - timedelta(days=0, hours=1), ("end of the show", "1 h 00")),
        (event.back_at - timedelta(hours=26), ("kit back", "1 day 2 h")),
    ):
        moment = presenting.next_moment(event, before)
        assert moment is not None and (moment.name, moment.wait) == words
    assert presenting.next_moment(event, event.back_at) is None
