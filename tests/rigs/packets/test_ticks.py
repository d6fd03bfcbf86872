"""What was seen on site stays seen in the next version, as long as the card says the same."""

import pytest
from django.urls import reverse

from rigs.packets import actions
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Tick
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet, thicker_cable

pytestmark = pytest.mark.django_db


@pytest.fixture
def tech(client):
    person = factories.person("system tech")
    client.force_login(person)
    client.person = person
    return client


def page(client, packet: Packet) -> str:
    return client.get(reverse("packets:packet", args=[packet.pk])).content.decode()


def test_an_unchanged_card_says_in_which_version_it_was_seen(tech):
    event = event_with_rig(2)
    first = made_packet(event)
    actions.tick(first, "line:Line 2", tech.person)
    thicker_cable(event)  # of line 1
    second = made_packet(event)
    text = page(tech, second)
    assert "Seen on site in version 1" in text and "1 in an earlier version" in text
    assert "0 of 2 seen" in text and not Tick.objects.filter(packet=second).exists()


def test_a_changed_card_has_to_be_seen_again(tech):
    event = event_with_rig(2)
    actions.tick(made_packet(event), "line:Line 1", tech.person)
    thicker_cable(event)  # of line 1
    text = page(tech, made_packet(event))
    assert "Seen on site in version" not in text and "earlier version" not in text


def test_seeing_it_again_counts_for_the_new_version(tech):
    event = event_with_rig(1)
    actions.tick(made_packet(event), "line:Line 1", tech.person)
    event.kit.update(quantity=9)
    second = request_packet(event, None)
    actions.tick(second, "line:Line 1", tech.person)
    text = page(tech, second)
    assert "Seen on site in version" not in text and "1 of 1 seen" in text


def test_the_latest_version_in_which_it_was_seen_is_named(tech):
    event = event_with_rig(1)
    for quantity in (11, 12, 13):
        event.kit.update(quantity=quantity)
        packet = made_packet(event)
        if quantity < 13:
            actions.tick(packet, "line:Line 1", tech.person)
    assert "Seen on site in version 2" in page(tech, packet)


def test_an_old_version_knows_nothing_of_later_ticks(tech):
    event = event_with_rig(1)
    first = made_packet(event)
    event.kit.update(quantity=9)
    actions.tick(request_packet(event, None), "line:Line 1", tech.person)
    assert "0 of 1 seen" in page(tech, first) and "Seen on site in" not in page(tech, first)


def test_taking_a_tick_back_shows_the_earlier_one_again(tech):
    event = event_with_rig(1)
    actions.tick(made_packet(event), "line:Line 1", tech.person)
    event.kit.update(quantity=9)
    second = request_packet(event, None)
    actions.tick(second, "line:Line 1", tech.person)
    answer = tech.post(
        reverse("packets:tick", args=[second.pk]),
        {"card": "line:Line 1", "seen": "no"},
        headers={"HX-Request": "true"},
    ).content.decode()
    assert "Seen on site in version 1" in answer and 'data-before="yes"' in answer
    assert 'name="anchor" value="lines-1"' in answer


def test_the_kept_steps_show_each_person_their_own_buttons(client):
    event = event_with_rig(1)
    packet = made_packet(event)
    texts = {}
    for role in ("crew", "system tech", "crew"):
        client.force_login(factories.person(role))
        texts[role] = page(client, packet)
    assert 'name="seen"' in texts["system tech"] and 'name="seen"' not in texts["crew"]


@pytest.mark.usefixtures("no_sheets")
@pytest.mark.parametrize("name", ["@key@ & @name@", "<!-- tick -->", "</form><b>x"])
def test_a_name_that_looks_like_a_blank_stays_a_name(tech, name):
    event = event_with_rig(1)
    event.drivelines.update(name=name)
    packet = made_packet(event)
    text = page(tech, packet)
    assert text.count('class="tick"') == 3  # rack, line, output
    tech.post(reverse("packets:tick", args=[packet.pk]), {"card": f"line:{name}"})
    assert Tick.objects.get().card == f"line:{name}"
