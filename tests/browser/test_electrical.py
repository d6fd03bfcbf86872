"""The electrical pages: try a change, answer for a finding by two people, plug by the plan."""

from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Locator, Page, expect

from rigs.events.models import Event
from rigs.systems.models import DriveLine
from tests.browser.test_walk import DESKTOP, PHONE, fits_its_screen, picture, sign_in

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]


@pytest.fixture
def demo(settings: Any) -> None:
    settings.DEMO = True
    call_command("demo", verbosity=0)


def test_electrical_pages(demo: None, open_page: OpenPage, check_axe: CheckAxe) -> None:
    tech = open_page(viewport=DESKTOP)
    sign_in(tech, "tech")
    _what_if_is_dropped_and_kept(tech, check_axe)
    _override_needs_two_people(tech, open_page(viewport=DESKTOP), check_axe)
    _racks_are_plugged_by_the_plan(tech, check_axe)
    phone = open_page(**PHONE)
    sign_in(phone, "crew")
    _crew_reads_on_a_phone(phone, check_axe)


def _line_page(line: str, event: str) -> str:
    found = DriveLine.objects.get(name=line, event__name=event)
    return f"/events/{found.event_id}/rig/lines/{found.pk}/"


def _try_level(page: Page, path: str, db: str) -> Locator:
    """Try a level control on a line's page; answer the before and after."""
    page.goto(path)
    page.locator("details.what-if > summary").click()
    page.locator("form [name=try-level_control_db]").first.fill(db)
    result = page.locator("#what-if-result")
    expect(result.locator("[name=try-level_control_db]")).to_have_value(db)
    return result


def _what_if_is_dropped_and_kept(page: Page, check_axe: CheckAxe) -> None:
    path = _line_page("Booth", "Undertow")
    line = DriveLine.objects.get(name="Booth", event__name="Undertow")
    result = _try_level(page, path, "-6")
    expect(result).to_contain_text("After")
    check_axe(page)
    result.scroll_into_view_if_needed()
    picture(page, "what-if")
    result.get_by_role("link", name="Drop it").click()
    page.wait_for_url(f"**{path}", wait_until="load")
    line.refresh_from_db()
    assert line.level_control_db == 0

    _try_level(page, path, "-3").get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("status").first).to_contain_text("Booth")
    line.refresh_from_db()
    assert line.level_control_db == -3


def _override_needs_two_people(tech: Page, other: Page, check_axe: CheckAxe) -> None:
    path = _line_page("Subs", "Undertow")
    tech.goto(path)
    tech.get_by_role("link", name="Override this finding: Load on the amplifier").click()
    tech.get_by_label("Reason").fill("The boxes are measured at 9 ohm; see the sheet in the rack.")
    check_axe(tech)
    tech.locator("main form").get_by_role("button").first.click()
    given = tech.locator(".override").first
    expect(given).to_contain_text("second")
    expect(given.get_by_role("button", name="Confirm as the second person")).to_have_count(0)

    sign_in(other, "admin")
    other.goto(path)
    other.get_by_role("button", name="Confirm as the second person").first.click()
    confirmed = other.locator(".override[data-override='in force']").first
    expect(confirmed).to_be_visible()
    # The finding itself stays what it is.
    expect(other.locator(".state[data-state=fails]").first).to_be_visible()
    check_axe(other)


def _racks_are_plugged_by_the_plan(page: Page, check_axe: CheckAxe) -> None:
    event = Event.objects.get(name="Low Tide")
    page.goto(f"/events/{event.pk}/rig/mains/")
    expect(page.locator(".state[data-state=fails]").first).to_be_visible()
    check_axe(page)
    page.get_by_role("button", name="by the best plan").click()
    expect(page.get_by_text("The racks are plugged as the best plan says.")).to_be_visible()
    expect(page.locator(".state[data-state=fails]")).to_have_count(0)
    check_axe(page)
    picture(page, "mains")


def _crew_reads_on_a_phone(page: Page, check_axe: CheckAxe) -> None:
    event = Event.objects.get(name="Regatta Breakfast")
    for part in ("mains", "weights"):
        page.goto(f"/events/{event.pk}/rig/{part}/")
        fits_its_screen(page)
        check_axe(page)
    expect(page.locator(".state[data-state=fails]").first).to_be_visible()
    expect(page.locator("main form[method=post]")).to_have_count(0)
    page.goto(_line_page("Subs", "Undertow"))
    fits_its_screen(page)
    check_axe(page)
