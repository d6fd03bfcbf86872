"""The main job from kit list to manager, walked by six people in a real browser.

With RIGWRIGHT_PICTURES=FOLDER the walk leaves its pictures there; the README's come from it.
"""

import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.people.demo import DEMO_PASSWORD
from tests.servers.workers import empty_queue, worker

WALK_EVENT = "Saltmarsh Sessions"
SUB = "Bittern 18"
CABLE = "4-pole 4 mm2, 10 m"
DESKTOP = {"width": 1280, "height": 900}
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
}

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]


@pytest.fixture
def event(settings: Any, tmp_path: Path) -> Iterator[Event]:
    """The demo company with a worker of its own."""
    settings.DEMO = True
    empty_queue()
    call_command("demo", verbosity=0)
    with worker(tmp_path):
        yield Event.objects.get(name=WALK_EVENT)


def sign_in(page: Page, username: str) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Name", exact=True).fill(username)
    page.get_by_label("Password").fill(DEMO_PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    expect(page.get_by_role("button", name="Sign out")).to_be_attached()


def picture(page: Page, name: str) -> None:
    """Keep what the page shows, where somebody wants the pictures."""
    folder = os.environ.get("RIGWRIGHT_PICTURES")
    if folder:
        page.screenshot(path=Path(folder) / f"{name}.png")


def fits_its_screen(page: Page) -> None:
    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, f"{page.url} is {wide} px wider than its screen"


def test_six_people_walk_one_event(event: Event, open_page: OpenPage, check_axe: CheckAxe) -> None:
    desk = open_page(viewport=DESKTOP)
    _warehouse_builds_the_kit_list(desk, event, check_axe)
    _tech_describes_the_rig(open_page(viewport=DESKTOP), event, check_axe)
    _packet_is_built_and_printed(open_page(viewport=DESKTOP), event, check_axe)
    _tech_reads_it_on_the_phone(open_page(**PHONE), event, check_axe)
    _manager_finds_the_worst_line(open_page(viewport=DESKTOP), check_axe)
    _crew_sees_and_changes_nothing(open_page(**PHONE), event, check_axe)


def _search(page: Page, item: str) -> None:
    """Type, and wait for the list that answers: what is typed into an older one is replaced."""
    page.get_by_role("searchbox").fill(item)
    expect(page.locator(".results .result-what a").filter(has_text=item)).to_be_visible()


def _warehouse_builds_the_kit_list(page: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(page, "warehouse")
    page.get_by_role("link", name=WALK_EVENT).click()
    page.get_by_role("link", name="Kit list").click()

    _search(page, "Teaselmoor Haar 12")
    expect(page.get_by_text("free of 4")).to_be_visible()
    page.get_by_role("textbox", name="How many Teaselmoor Haar 12").fill("2")
    page.get_by_role("button", name="Add Teaselmoor Haar 12").click()
    refusal = page.locator(".result-fault")
    expect(refusal).to_contain_text("Glassblowers' Ball")
    expect(refusal).to_contain_text("until")
    expect(refusal).to_contain_text("Instead")
    expect(page.get_by_role("textbox", name="How many Teaselmoor Haar 12")).to_have_value("2")
    check_axe(page)
    picture(page, "kit-list-refused")

    pieces = page.locator(".kit-foot dd").first
    before = int(pieces.inner_text())
    _add(page, f"Bogmyrtle {SUB}", 2)
    _add(page, f"Bindweed {CABLE}", 1)
    expect(pieces).to_have_text(str(before + 3))
    expect(
        page.get_by_text("mains inlet").or_(page.get_by_text("have no cable")).first
    ).to_be_visible()
    check_axe(page)
    picture(page, "kit-list")


def _add(page: Page, item: str, quantity: int) -> None:
    _search(page, item)
    box = page.get_by_role("textbox", name=f"How many {item}", exact=True)
    box.fill(str(quantity))
    page.get_by_role("button", name=f"Add {item}", exact=True).click()
    expect(page.get_by_role("textbox", name=f"How many {item} at line")).to_be_visible()


def _tech_describes_the_rig(page: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(page, "tech")
    page.goto(f"/events/{event.pk}/rig/")
    page.get_by_role("link", name="Add a row of boxes").click()
    page.get_by_label("Loudspeaker").select_option(label=f"Bogmyrtle {SUB}")
    page.get_by_label("How many").fill("2")
    page.get_by_label("Name without number").fill("Sub")
    check_axe(page)
    page.get_by_role("button", name="Place them all").click()

    page.get_by_role("link", name="Add a drive line").click()
    page.get_by_label("Name", exact=True).fill("Subs")
    page.get_by_label("Processor", exact=True).select_option(label="Rack 3 control (6 outputs)")
    page.get_by_label("Output").fill("3")
    page.get_by_label("Amplifier").select_option(label="Rack 3, Rack 3 amp 1 (no channel free)")
    page.get_by_role("button", name="Add another box").click()
    expect(page.locator("[name=box-1-box]")).to_be_visible()
    for row in range(2):
        page.locator(f"[name=box-{row}-box]").select_option(label=f"Sub {row + 1}, LF")
        page.locator(f"[name=box-{row}-cable]").select_option(
            label=f"Bindweed {CABLE}, 10 m, 4 mm²"
        )
    page.get_by_role("button", name="Save the line").click()
    # That channel drives the tops already: refused with a sentence, nothing lost.
    expect(page.locator(".errors").first).to_contain_text("Tops left LF")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Subs")
    check_axe(page)
    page.get_by_label("Amplifier").select_option(label="Rack 3, Rack 3 amp 2 (free: 1, 2)")
    page.get_by_role("button", name="Save the line").click()
    expect(page.get_by_role("heading", name="Subs").first).to_be_visible()
    check_axe(page)
    picture(page, "drive-line")
    page.goto(f"/events/{event.pk}/rig/")
    check_axe(page)
    picture(page, "rig")


def _packet_is_built_and_printed(page: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(page, "tech")
    page.goto(f"/events/{event.pk}/")
    check_axe(page)
    page.get_by_role("button", name="Build the packet").click()
    # Nothing is reloaded by hand: the page asks how far it is until the packet is there.
    expect(page.get_by_text("Packet version 1")).to_be_visible(timeout=60_000)
    check_axe(page)
    link = page.get_by_role("link", name="PDF, A4")
    answer = page.request.get(str(link.get_attribute("href")))
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF")


def _tech_reads_it_on_the_phone(page: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(page, "tech")
    page.goto(f"/events/{event.pk}/")
    fits_its_screen(page)
    picture(page, "event-page")
    steps = page.locator("details.step")
    for number in range(steps.count()):
        steps.nth(number).locator("summary").first.click()
        fits_its_screen(page)
    check_axe(page)
    line = page.locator("article, .card").filter(has_text="Subs").first
    expect(line).to_contain_text("ohm")
    thresholds = page.locator("#processing")
    expect(thresholds).to_contain_text("dBu")
    page.locator("#lines .card").first.scroll_into_view_if_needed()
    picture(page, "event-page-lines")
    page.locator("#coverage svg, #coverage img").first.scroll_into_view_if_needed()
    picture(page, "event-page-coverage")
    page.get_by_role("button", name=re.compile("seen on site", re.I)).first.click()
    expect(page.get_by_text(re.compile("seen on site by", re.I)).first).to_be_visible()


def _manager_finds_the_worst_line(page: Page, check_axe: CheckAxe) -> None:
    sign_in(page, "manager")
    expect(page.get_by_role("heading", name="Amp loading")).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    picture(page, "amp-loading")
    states = page.locator("tbody th .state, .type-state").all_inner_texts()
    order = ["fails", "cannot check", "tight", "holds"]
    ranks = [order.index(state.strip()) for state in states]
    assert ranks
    assert ranks == sorted(ranks)
    assert ranks[0] == 0
    page.locator("tbody th a[href*=lines]").first.click()
    expect(page.locator(".state[data-state=fails]").first).to_be_visible()
    check_axe(page)


def _crew_sees_and_changes_nothing(page: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(page, "crew")
    page.goto("/events/")
    fits_its_screen(page)
    check_axe(page)
    page.get_by_role("link", name=WALK_EVENT).click()
    expect(page.get_by_text("Packet version 1")).to_be_visible()
    expect(page.locator("main form")).to_have_count(0)
    check_axe(page)
    for path in ("kit", "rig"):
        page.goto(f"/events/{event.pk}/{path}/")
        check_axe(page)
        expect(page.locator("main form[method=post]")).to_have_count(0)
    refused = page.request.post(f"/events/{event.pk}/packet/")
    assert refused.status == 403
