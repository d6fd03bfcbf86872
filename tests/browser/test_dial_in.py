"""Dialling in on the phone beside the processor: tick, reload, and what a new packet keeps."""

import re
from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.packets.models import Packet
from rigs.people.demo import DEMO_PASSWORD
from tests import factories
from tests.browser.test_walk import PHONE, fits_its_screen, picture, sign_in
from tests.rigs.packets.rigs import event_with_rig
from tests.rigs.packets.sheets import (
    alignment,
    crossover,
    delay,
    gain,
    high_pass,
    limiter,
    output,
    packet_with,
    sheet,
    step,
    too_high,
)

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]
LEAST_TARGET_PX = 48


@pytest.fixture
def event() -> Event:
    person = factories.person("system tech", "tamsin")
    person.first_name, person.last_name = "Tamsin", "Oke"
    person.set_password(DEMO_PASSWORD)
    person.save()
    return event_with_rig(2, name="Quayside Gala")


def packet_of(event: Event, delay_ms: float = 7.25) -> Packet:
    """Two processors; the delay of the first output is what changes."""
    first = sheet(
        output(1, gain(), delay(delay_ms, delay_ms + 0.066), high_pass(), too_high(), limiter()),
        output(2),
        processor="Rack 1 control",
        linked="inputs 1 and 2 together",
        remarks=("The steps of its delay are unknown: enter the nearest.",),
    )
    return packet_with(
        event,
        first,
        sheet(output(3), processor="Rack 2 control"),
        line_up=(step(), step("on", title="Amplifiers on", caution="From the quietest setting.")),
        alignments=(alignment(),),
        crossovers=(crossover(),),
    )


def test_dialling_in_on_the_phone(event: Event, open_page: OpenPage, check_axe: CheckAxe) -> None:
    packet = packet_of(event)
    phone = open_page(**PHONE)
    sign_in(phone, "tamsin")
    _the_step_leads_to_the_sheet(phone, event, check_axe)
    _the_sheet_is_made_for_a_thumb(phone, check_axe)
    _a_tick_stays_with_who_and_when(phone)
    _the_next_output_is_one_tap_away(phone)
    _a_new_packet_keeps_what_did_not_change(phone, event, check_axe)
    _it_works_without_javascript(open_page, packet)


def _the_step_leads_to_the_sheet(page: Page, event: Event, check_axe: CheckAxe) -> None:
    page.goto(f"/events/{event.pk}/#processing")
    step = page.locator("#processing")
    expect(step.get_by_text("0 of 8 ticked")).to_be_visible()
    step.locator("details.output summary").first.click()
    fits_its_screen(page)
    check_axe(page)
    picture(page, "processing-step")
    step.get_by_role("link", name="Dial-in sheet of Rack 1 control").click()
    expect(page.get_by_role("heading", name="Rack 1 control", level=1)).to_be_visible()


def _the_sheet_is_made_for_a_thumb(page: Page, check_axe: CheckAxe) -> None:
    fits_its_screen(page)
    check_axe(page)
    picture(page, "dial-in")
    expect(page.get_by_text("2.49 m, 8.16 ft")).to_have_count(2)
    expect(page.get_by_text("1 does not fit")).to_be_visible()
    targets = page.locator("#outputs a.button, #outputs button")
    assert targets.count() > 15
    for number in range(targets.count()):
        box = targets.nth(number).bounding_box()
        assert box is not None
        assert box["height"] >= LEAST_TARGET_PX and box["width"] >= LEAST_TARGET_PX


def _a_tick_stays_with_who_and_when(page: Page) -> None:
    page.get_by_role("button", name="output 1, Delay").click()
    seen = page.locator(".tick[data-ticked=yes]")
    expect(seen).to_contain_text("Seen on site by Tamsin Oke")
    expect(page.locator(".dialled")).to_contain_text("1 of 8 ticked")
    page.reload()
    expect(seen).to_contain_text(re.compile(r"by Tamsin Oke, \d+ \w+ \d\d:\d\d"))
    expect(page.locator(".dialled")).to_contain_text("1 of 8 ticked")
    page.get_by_role("button", name="output 1, Gain").click()
    expect(page.locator(".dialled")).to_contain_text("2 of 8 ticked")
    page.locator("#dial-1-1-2").scroll_into_view_if_needed()
    picture(page, "dial-in-ticked")


def _the_next_output_is_one_tap_away(page: Page) -> None:
    page.get_by_role("link", name=re.compile("Output 2.*next")).click()
    expect(page.get_by_role("heading", name="Output 2: Line 2")).to_be_in_viewport()
    page.get_by_role("link", name=re.compile("Output 1.*before")).click()
    expect(page.get_by_role("heading", name="Output 1: Line 1")).to_be_in_viewport()


def _a_new_packet_keeps_what_did_not_change(page: Page, event: Event, check_axe: CheckAxe) -> None:
    later = packet_of(event, 8.5)
    page.goto(reverse("packets:dial_in", args=[later.pk, 1]))
    expect(page.locator(".dialled")).to_contain_text("1 of 8 ticked, 1 of them in an earlier")
    expect(page.locator("#dial-1-1-1")).to_contain_text("Seen on site in version 1 by Tamsin Oke")
    changed = page.locator("#dial-1-1-2")
    expect(changed).to_contain_text("Was set to 7.25 ms by Tamsin Oke")
    expect(changed).to_contain_text("now 8.5 ms")
    check_axe(page)
    changed.scroll_into_view_if_needed()
    picture(page, "dial-in-changed")
    changed.get_by_role("button").click()
    expect(changed).to_contain_text("Seen on site by Tamsin Oke")
    expect(page.locator(".dialled")).to_contain_text("2 of 8 ticked")
    page.goto(f"/events/{event.pk}/#alignment")
    expect(page.locator("#alignment")).to_contain_text("Subs to tops")
    fits_its_screen(page)
    check_axe(page)
    page.locator("#alignment .card").first.scroll_into_view_if_needed()
    picture(page, "alignment-step")
    page.goto(f"/events/{event.pk}/#line-up")
    expect(page.locator("#line-up")).to_contain_text("From the quietest setting.")
    check_axe(page)
    picture(page, "line-up-step")


def _it_works_without_javascript(open_page: OpenPage, packet: Packet) -> None:
    page = open_page(**PHONE, java_script_enabled=False)
    sign_in(page, "tamsin")
    page.goto(reverse("packets:dial_in", args=[packet.pk, 2]))
    page.get_by_role("button", name="output 3, Limiter").click()
    expect(page.locator("#dial-2-1-4")).to_contain_text("Seen on site by Tamsin Oke")
    assert page.url.endswith(f"{reverse('packets:dial_in', args=[packet.pk, 2])}#dial-2-1-4")
    expect(page.locator(".dialled")).to_contain_text("1 of 4 ticked")
