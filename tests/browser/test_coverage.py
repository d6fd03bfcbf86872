"""Coverage in the browser: maps, a seat, a box tried elsewhere, aim and trim."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.systems.models import Placement
from tests.browser.test_walk import DESKTOP, PHONE, fits_its_screen, picture, sign_in
from tests.servers.workers import empty_queue, worker

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]


@pytest.fixture
def event(settings: Any, tmp_path: Path) -> Iterator[Event]:
    """A small demo rig, with a worker for the search."""
    settings.DEMO = True
    empty_queue()
    call_command("demo", verbosity=0)
    with worker(tmp_path):
        yield Event.objects.get(name="Glassblowers' Ball")


def test_coverage_pages(event: Event, open_page: OpenPage, check_axe: CheckAxe) -> None:
    desk = open_page(viewport=DESKTOP)
    sign_in(desk, "tech")
    desk.goto(f"/events/{event.pk}/rig/coverage/")
    _maps_follow_the_choice(desk, check_axe)
    _a_tapped_seat_tells_its_boxes(desk, check_axe)
    _a_box_is_tried_elsewhere_and_kept(desk, event, check_axe)
    _aims_are_proposed_and_accepted(desk, event, check_axe)
    phone = open_page(**PHONE)
    sign_in(phone, "crew")
    phone.goto(f"/events/{event.pk}/rig/coverage/")
    fits_its_screen(phone)
    check_axe(phone)
    expect(phone.get_by_role("button", name="Keep it")).to_have_count(0)


def _maps_follow_the_choice(page: Page, check_axe: CheckAxe) -> None:
    heading = page.locator(".coverage-map h3").first
    expect(heading).to_contain_text("dB(A)")
    check_axe(page)
    picture(page, "coverage")
    page.locator("[name=show]").select_option(index=2)
    expect(heading).not_to_contain_text("dB(A)")
    page.locator("[name=show]").select_option(index=0)
    expect(heading).to_contain_text("dB(A)")


def _a_tapped_seat_tells_its_boxes(page: Page, check_axe: CheckAxe) -> None:
    page.locator(".coverage-map svg").first.click()
    seat = page.locator("#coverage-result .card")
    expect(seat).to_contain_text("dB(A)")
    expect(seat.locator("svg")).to_be_visible()
    expect(seat).to_contain_text("Top left")
    check_axe(page)
    seat.scroll_into_view_if_needed()
    picture(page, "seat")


def _a_box_is_tried_elsewhere_and_kept(page: Page, event: Event, check_axe: CheckAxe) -> None:
    top = Placement.objects.get(event=event, name="Top left")
    page.locator("[name=box]").select_option(str(top.pk))
    expect(page.locator("[name=x_m]").first).not_to_have_value("")
    page.locator("#coverage-form [name=tilt_deg]").first.fill("-12")
    tried = page.locator("#coverage-result .note").filter(has_text="stored nowhere yet")
    expect(tried).to_be_visible()
    expect(tried.locator("[name=tilt_deg]")).to_have_value("-12")
    check_axe(page)
    top.refresh_from_db()
    assert top.tilt_deg != -12
    tried.get_by_role("button", name="Keep it").click()
    expect(tried).to_have_count(0)
    top.refresh_from_db()
    assert top.tilt_deg == -12


def _aims_are_proposed_and_accepted(page: Page, event: Event, check_axe: CheckAxe) -> None:
    page.goto(f"/events/{event.pk}/rig/coverage/aim/")
    check_axe(page)
    for name in ("Top left", "Top right"):
        page.get_by_label(name, exact=True).check()
    page.get_by_role("button", name="Search", exact=True).click()
    accept = page.get_by_role("button", name="Accept it")
    expect(accept).to_be_visible(timeout=60_000)
    check_axe(page)
    picture(page, "aim-and-trim")
    before = set(Placement.objects.filter(event=event).values_list("name", "tilt_deg"))
    accept.click()
    expect(accept).to_have_count(0)
    assert set(Placement.objects.filter(event=event).values_list("name", "tilt_deg")) != before
