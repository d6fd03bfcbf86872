"""The kit list from the keyboard: type, Enter, next; and the same page without JavaScript."""

from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, expect

from rigs.events import actions
from rigs.events.models import Event, KitRow
from tests import factories as make


@pytest.fixture
def event() -> Event:
    marrow, fennel = make.loudspeaker(maker="Marrow", model="12"), make.cable(maker="Fennel")
    make.units(marrow, 4)
    make.count(fennel, 30)
    actions.put_on_kit(make.event(name="Fair"), marrow, 1)
    return make.event(name="Gala")


def sign_in(page: Page, client: Client, site: str, role: str = "warehouse") -> None:
    client.force_login(make.person(role))
    session = client.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": session, "url": site}])


def test_type_enter_next(
    desktop_page: Page,
    client: Client,
    site: str,
    event: Event,
    check_axe: Callable[[Page], None],
) -> None:
    page = desktop_page
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    page.focus("#q")
    page.keyboard.type("2 marrow")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Added 2 x Marrow 12 (line).")
    expect(page.locator("#q")).to_be_focused()
    page.keyboard.type("12 fennel")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Added 12 x Fennel")
    page.keyboard.type("marrow")
    expect(page.locator("#results")).to_contain_text("Marrow 12")
    page.keyboard.press("ArrowDown")
    page.keyboard.type("5")
    page.keyboard.press("Enter")
    refusal = page.get_by_role("alert")
    expect(refusal).to_contain_text("Only 1 of 5 more Marrow 12 is free.")
    expect(refusal).to_contain_text("Fair has 1 until Mon 3 Jun 12:00 (with 2 h test until 14:00)")
    field = page.get_by_label("How many Marrow 12", exact=True)
    expect(field).to_be_focused()
    expect(field).to_have_value("5")
    check_axe(page)
    page.get_by_role("button", name="Add the 1 that is free").press("Enter")
    expect(page.locator("#said")).to_have_text("Added 1 x Marrow 12 (line, 3 in all).")
    expect(page.get_by_role("alert")).to_have_count(0)
    assert set(event.kit.values_list("item__maker", "quantity")) == {("Marrow", 3), ("Fennel", 12)}


def test_it_all_works_without_javascript(
    open_page: Callable[..., Page], client: Client, site: str, event: Event
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900}, java_script_enabled=False)
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    page.fill("#q", "2 marrow")
    page.press("#q", "Enter")
    page.get_by_role("button", name="Add Marrow 12").click()
    expect(page.get_by_role("status").first).to_contain_text("Added 2 x Marrow 12")
    quantity = page.get_by_label("How many Marrow 12 at line")
    quantity.fill("9")
    quantity.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Only 1 of 7 more Marrow 12 is free.")
    expect(page.get_by_label("How many Marrow 12 at line")).to_have_value("9")
    page.get_by_role("button", name="Take off Marrow 12").click()
    assert not KitRow.objects.filter(event=event).exists()
