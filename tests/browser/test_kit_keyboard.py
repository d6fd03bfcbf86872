"""The kit list from the keyboard: type, Enter, next; and the same page without JavaScript."""

from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, Route, expect

from rigs.events import actions
from rigs.events.models import Event, KitRow
from tests import factories as make

# A new part of a page listens from about 20 ms after it came: no hand types a word in that time.
HAND_MS = 30


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
    page.keyboard.type("12 fennel", delay=HAND_MS)
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Added 12 x Fennel")
    page.keyboard.type("marrow", delay=HAND_MS)
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


def test_enter_waits_for_the_answer_to_all_that_was_typed(
    desktop_page: Page, client: Client, site: str, event: Event
) -> None:
    page = desktop_page
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    held: list[Route] = []
    page.route(
        "**/kit/search/**",
        lambda route: route.continue_() if held else held.append(route),
    )
    page.focus("#q")
    with page.expect_request("**/kit/search/**"):
        page.keyboard.type("1")  # a search for "1" is under way ...
    page.keyboard.type("2 fennel")
    page.keyboard.press("Enter")  # ... when the rest and Enter come
    held[0].continue_()
    expect(page.locator("#said")).to_contain_text("Added 12 x Fennel")
    assert list(event.kit.values_list("item__maker", "quantity")) == [("Fennel", 12)]


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


def test_the_search_is_four_keys_away_and_outlives_a_reload(
    desktop_page: Page, client: Client, site: str, event: Event
) -> None:
    page = desktop_page
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # to the content
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # and on to the search
    expect(page.locator("#q")).to_be_focused()
    page.keyboard.type("marrow")
    expect(page.locator("#timeline-heading")).to_contain_text("Marrow 12")
    page.fill("#q", "fennel")
    expect(page.locator("#timeline-heading")).to_contain_text("Fennel")
    page.fill("#q", "nobody has this")
    expect(page.locator("#timeline-heading")).to_have_count(0)
    page.fill("#q", "2 fennel")
    expect(page.locator("#results")).to_contain_text("Fennel")
    page.reload()
    expect(page.locator("#q")).to_have_value("2 fennel")
    expect(page.locator("#results")).to_contain_text("Fennel")


def test_a_session_that_ended_leads_to_sign_in_and_back(
    desktop_page: Page, client: Client, site: str, event: Event
) -> None:
    page = desktop_page
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    page.context.clear_cookies()
    page.fill("#q", "marrow")
    page.wait_for_url(f"**/sign-in/?next=%2Fevents%2F{event.pk}%2Fkit%2F")
    expect(page.get_by_label("Password")).to_be_visible()


def test_a_refusal_is_not_called_silence(
    desktop_page: Page, client: Client, site: str, event: Event
) -> None:
    page = desktop_page
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/")
    page.route("**/kit/", lambda route: route.fulfill(status=403, body="refused"))
    page.fill("#q", "marrow")
    page.get_by_role("button", name="Add Marrow 12").click()
    said = page.locator("#said")
    expect(said).to_contain_text("This was refused, and nothing was changed")
    expect(said).to_have_attribute("data-kind", "fault")
    page.route("**/kit/", lambda route: route.abort())
    page.get_by_role("button", name="Add Marrow 12").click()
    expect(said).to_contain_text("The server did not answer")


@pytest.mark.parametrize("width", [390, 320])
def test_the_list_fits_a_phone(
    open_page: Callable[..., Page],
    client: Client,
    site: str,
    event: Event,
    width: int,
    check_axe: Callable[[Page], None],
) -> None:
    long = make.loudspeaker(maker="Marrowfield", model="Very Long Name 2 x 15-1250 mk 3")
    make.units(long, 2)
    actions.put_on_kit(event, long, 2)
    page = open_page(viewport={"width": width, "height": 844}, has_touch=True, is_mobile=True)
    sign_in(page, client, site)
    page.goto(f"/events/{event.pk}/kit/?q=marrow")
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.evaluate(OVERLAPS) == []
    for target in page.locator("#kit .kit-table :is(input:not([type=hidden]), a, button)").all():
        box = target.bounding_box()
        assert box
        assert box["height"] >= 48
        assert box["x"] + box["width"] <= width
    check_axe(page)


# Words of one row that are printed over each other.
OVERLAPS = """() => [...document.querySelectorAll('.kit-table tr')].flatMap((row) => {
  const cells = [...row.children].map((cell) => [cell.className, cell.getBoundingClientRect()]);
  return cells.flatMap(([name, a], n) => cells.slice(n + 1)
    .filter(([, b]) => a.width && b.width && a.left < b.right - 1 && b.left < a.right - 1
      && a.top < b.bottom - 1 && b.top < a.bottom - 1)
    .map(([other]) => name + ' over ' + other));
})"""
