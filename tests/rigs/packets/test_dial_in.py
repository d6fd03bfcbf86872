"""Dial-in sheets in a packet: what is entered, what was wished for, and who saw it on site."""

import re
from dataclasses import replace

import pytest
from django.urls import reverse

from rigs.packets import actions
from rigs.packets.models import Packet, Tick
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet
from tests.rigs.packets.sheets import (
    delay,
    gain,
    high_pass,
    limiter,
    output,
    packet_with,
    predicted,
    sheet,
    too_high,
)

pytestmark = pytest.mark.django_db
DELAY = "dial:Processor:1:delay"


@pytest.fixture
def tech(client):
    person = factories.person("system tech")
    person.first_name, person.last_name = "Tamsin", "Oke"
    person.save()
    client.force_login(person)
    client.person = person
    return client


def processing(packet: Packet) -> list[dict]:
    return next(s for s in packet.sections if s["key"] == "processing")["blocks"]


def entries(packet: Packet) -> dict[str, dict]:
    outputs = [block for block in processing(packet) if block["kind"] == "output"]
    return {entry["key"]: entry for one in outputs for entry in one["entries"]}


def own_page(client, packet: Packet, number: int = 1) -> str:
    response = client.get(reverse("packets:dial_in", args=[packet.pk, number]))
    assert response.status_code == 200
    return response.content.decode()


def spoken(html: str) -> str:
    """The words of a page without its tags."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_a_processor_stands_above_its_outputs_with_their_entries_in_order():
    packet = packet_with(event_with_rig(2))
    kinds = [block["kind"] for block in processing(packet)]
    assert kinds == ["caution", "processor", "output", "output"]
    first = processing(packet)[2]
    assert (first["number"], first["lines"], first["boxes"]) == (1, ["Line 1"], ["Top 1"])
    assert [one["entry"] for one in first["entries"]] == ["gain", "delay", "high-pass", "limiter"]


def test_a_delay_has_metres_and_feet_beside_it():
    """7.25 ms at 20 degC: c = 331.3 sqrt(1 + 20 / 273.15) = 343.2 m/s gives 2.49 m (MATH)."""
    event = event_with_rig(1)
    assert event.temperature_c in (None, 20)
    value = entries(packet_with(event))[DELAY]["values"][0]
    assert value["beside"] == "2.49 m, 8.16 ft at 20 °C"


def test_times_of_the_limiter_are_no_distances():
    found = entries(packet_with(event_with_rig(1)))["dial:Processor:1:limiter"]
    assert [value["beside"] for value in found["values"]] == ["", "", "", ""]


@pytest.mark.parametrize(
    ("entry", "wished"),
    [
        (delay(7.25, 7.316), "7.32 ms"),
        (delay(7.25), ""),
        (high_pass(98.4, 98.41), "98.41 Hz"),
        (high_pass(12_500, 12_503.7), "12504 Hz"),
        (gain(-3.5), ""),
    ],
)
def test_the_wished_value_is_told_only_where_rounding_changed_it(entry, wished):
    packet = packet_with(event_with_rig(1), sheet(output(1, entry)))
    (found,) = entries(packet).values()
    assert found["values"][0]["wished_words"] == wished


def test_what_does_not_fit_is_said_and_no_figure_to_enter_is_shown(tech):
    packet = packet_with(event_with_rig(1), sheet(output(1, too_high())))
    (found,) = entries(packet).values()
    assert not found["fits"] and not found["tickable"]
    assert found["values"][0]["figure"] == "cannot be set"
    text = spoken(own_page(tech, packet))
    assert processing(packet)[2]["state"] == ""  # its limiter holds, and still it is no pass
    step = next(s for s in packet.sections if s["key"] == "processing")
    assert step["note"] == "1 entry that a processor can't do" and not step["tally"]
    assert "1 does not fit" in text and "Best that does: 20 kHz." in text
    assert "wished 30 kHz" in text and "Seen on site" not in text


def test_what_rounding_does_is_told_for_each_output(tech):
    text = spoken(own_page(tech, packet_with(event_with_rig(2))))
    assert text.count("at most 0.03 dB (at 98.4 Hz) and 1.2 degrees") == 2


def test_an_unknown_effect_of_rounding_is_not_zero():
    packet = packet_with(event_with_rig(1), sheet(output(1, rounding_db=None, rounding_deg=None)))
    facts = {one["name"]: one["value"] for one in processing(packet)[2]["facts"]}
    assert facts["Rounding changes"] == "unknown"


def test_findings_and_gain_ladder_of_its_lines_stay_reachable(tech):
    packet = packet_with(event_with_rig(1))
    block = processing(packet)[2]
    assert [one["check"] for one in block["findings"]] == ["limiter"]
    assert [fold["title"] for fold in block["more"]] == [
        "What the limiter stands on", "Gain ladder",
    ]  # fmt: skip
    text = own_page(tech, packet)
    assert "void" in text and "ladder-1.svg" in text


def test_lines_on_no_sheet_keep_their_cards():
    packet = packet_with(event_with_rig(2), sheet(output(1)))
    kinds = [(block["kind"], block.get("name")) for block in processing(packet)]
    assert kinds[-1] == ("card", "Line 2") and ("output", "Output 1: Line 1") in kinds


def test_a_packet_without_sheets_shows_the_cards_of_old(tech):
    with predicted(sheets=()):
        packet = made_packet(event_with_rig(1))
    page = tech.get(reverse("packets:packet", args=[packet.pk])).content.decode()
    assert "dBu rms" in page and 'class="entries"' not in page and "dial-in" not in page
    for name in ("dial_in_csv", "dial_in_json"):
        assert tech.get(reverse(f"packets:{name}", args=[packet.pk])).status_code == 404


def test_the_own_page_leads_from_output_to_output(tech):
    page = own_page(tech, packet_with(event_with_rig(2)))
    assert 'href="#dial-1-2"' in page and 'id="dial-1-2"' in page
    assert page.count('<section class="dial-output') == 2


def test_each_processor_has_a_page_and_no_more(tech):
    event = event_with_rig(2)
    two = sheet(output(2), processor="Second", unit="SN-2")
    packet = packet_with(event, sheet(output(1)), two)
    assert "SN-2" in own_page(tech, packet, 2) and "SN-2" not in own_page(tech, packet, 1)
    for number in (0, 3):
        address = reverse("packets:dial_in", args=[packet.pk, number])
        assert tech.get(address).status_code == 404


def test_crew_reads_the_own_page_and_ticks_nothing(client):
    packet = packet_with(event_with_rig(1))
    client.force_login(factories.person("crew"))
    page = own_page(client, packet)
    assert "7.25 ms" in page and 'name="seen"' not in page
    assert client.get(reverse("packets:dial_in_csv", args=[packet.pk])).status_code == 200


def test_without_the_right_there_is_no_sheet(client):
    packet = packet_with(event_with_rig(1))
    person = factories.person("crew")
    person.groups.clear()
    client.force_login(person)
    for name, more in (("dial_in", [1]), ("dial_in_csv", []), ("dial_in_json", [])):
        address = reverse(f"packets:{name}", args=[packet.pk, *more])
        assert client.get(address).status_code == 403


def test_a_plain_tick_comes_back_to_its_entry_on_the_own_page(tech):
    packet = packet_with(event_with_rig(1))
    answer = tech.post(
        reverse("packets:tick", args=[packet.pk]), {"card": DELAY, "anchor": "dial-1-1-2"}
    )
    own = reverse("packets:dial_in", args=[packet.pk, 1])
    assert answer["Location"] == f"{own}#dial-1-1-2"
    text = spoken(own_page(tech, packet))
    assert "Seen on site by Tamsin Oke" in text and "1 of 8 ticked" in text
    assert 'id="dial-1-1-2"' in own_page(tech, packet)


def test_a_tick_in_place_answers_with_how_far_the_sheet_is(tech):
    packet = packet_with(event_with_rig(2))
    answer = tech.post(
        reverse("packets:tick", args=[packet.pk]),
        {"card": DELAY, "anchor": "dial-1-1-2"},
        headers={"HX-Request": "true"},
    ).content.decode()
    assert 'hx-swap-oob="true"' in answer and "1 of 8 ticked" in answer
    assert 'name="anchor" value="dial-1-1-2"' in answer and "Take the tick back" in answer


def test_the_event_page_counts_entries_and_leads_to_the_sheets(tech):
    packet = packet_with(event_with_rig(2))
    actions.tick(packet, DELAY, tech.person)
    page = tech.get(reverse("packets:packet", args=[packet.pk])).content.decode()
    assert "1 of 8 seen" in page and "1 of 8 ticked" in page
    assert reverse("packets:dial_in", args=[packet.pk, 1]) in page
    assert reverse("packets:dial_in_csv", args=[packet.pk]) in page


def test_an_unchanged_entry_keeps_its_tick_in_the_next_packet(tech):
    event = event_with_rig(1)
    actions.tick(packet_with(event), DELAY, tech.person)
    later = packet_with(event, sheet(output(1, gain(-6), *(delay(7.25, 7.31), high_pass()))))
    text = spoken(own_page(tech, later))
    assert "Seen on site in version 1 by Tamsin Oke" in text
    assert "1 of 3 ticked, 1 of them in an earlier version" in text


def test_a_changed_entry_says_what_was_set_by_whom_and_what_it_is_now(tech):
    event = event_with_rig(1)
    actions.tick(packet_with(event), DELAY, tech.person)
    later = packet_with(event, sheet(output(1, delay(8.5))))
    text = spoken(own_page(tech, later))
    assert "Was set to 7.25 ms by Tamsin Oke" in text and "now 8.5 ms" in text
    assert "0 of 1 ticked" in text and not Tick.objects.filter(packet=later).exists()


def test_another_kind_of_filter_is_another_setting_though_its_figure_is_the_same(tech):
    event = event_with_rig(1)
    key = "dial:Processor:1:high-pass"
    actions.tick(packet_with(event), key, tech.person)
    other = replace(high_pass(), title="High-pass, Butterworth 24 dB/octave")
    text = spoken(own_page(tech, packet_with(event, sheet(output(1, other)))))
    assert "Was set to High-pass, Linkwitz-Riley 24 dB/octave: 98.4 Hz by Tamsin Oke" in text
    assert "0 of 1 ticked" in text


def test_another_unit_has_to_be_entered_again(tech):
    event = event_with_rig(1)
    actions.tick(packet_with(event, sheet(output(1))), DELAY, tech.person)
    later = packet_with(event, sheet(output(1), unit="SN-2"))
    text = spoken(own_page(tech, later))
    assert "0 of 4 ticked" in text and "on another processor" in text


def test_going_back_does_not_bring_back_a_tick_that_another_setting_has_followed(tech):
    event = event_with_rig(1)
    actions.tick(packet_with(event, sheet(output(1, delay(7.25)))), DELAY, tech.person)
    actions.tick(packet_with(event, sheet(output(1, delay(8.5)))), DELAY, tech.person)
    text = spoken(own_page(tech, packet_with(event, sheet(output(1, delay(7.25))))))
    assert "Was set to 8.5 ms by Tamsin Oke" in text and "now 7.25 ms" in text
    assert "0 of 1 ticked" in text


def test_a_name_too_long_for_a_key_still_has_keys_of_its_own():
    name = "Processor " * 20
    packet = packet_with(event_with_rig(1), sheet(output(1), output(2), processor=name))
    keys = list(entries(packet))
    assert len(keys) == len(set(keys)) == 8 and max(map(len, keys)) <= 120


@pytest.mark.parametrize("name", ["<!-- slot -->", "@key@ & @name@", "</form><b>x"])
def test_a_name_that_looks_like_a_blank_stays_a_name(tech, name):
    packet = packet_with(event_with_rig(1), sheet(output(1, lines=(name,)), processor=name))
    page = own_page(tech, packet)
    assert page.count('class="tick"') == 4 and "<b>x" not in page
    key = f"dial:{name}:1:delay"
    tech.post(reverse("packets:tick", args=[packet.pk]), {"card": key})
    assert Tick.objects.get().card == key


def test_the_own_page_has_no_inline_script_or_style(tech):
    page = own_page(tech, packet_with(event_with_rig(1)))
    assert "<style" not in page and " style=" not in page and "<script>" not in page


@pytest.mark.parametrize("outputs", [1, 16])
def test_the_own_page_takes_the_same_queries_whatever_its_size(
    tech, outputs, django_assert_max_num_queries
):
    packet = packet_with(event_with_rig(1), sheet(*(output(n) for n in range(1, outputs + 1))))
    for key in entries(packet):
        actions.tick(packet, key, tech.person)
    own_page(tech, packet)
    with django_assert_max_num_queries(8):
        own_page(tech, packet)


def test_the_limiters_note_says_why_it_was_rounded_that_way(tech):
    packet = packet_with(event_with_rig(1), sheet(output(1, limiter())))
    text = spoken(own_page(tech, packet))
    assert "a threshold is never raised" in text
    assert "+5.0 dBu" in text and "wished 5.3 dBu" in text and "320 ms" in text
