"""Corners and places dragged on the drawings of a venue: the form's fields follow, and back."""

import re
from collections.abc import Callable

from playwright.sync_api import Page

from rigs.people.models import Person
from tests import factories
from venues.models import AudienceArea, ListeningPlace

PASSWORD = "rope and canvas 9"


def sign_in(page: Page) -> None:
    person: Person = factories.person("system tech")
    person.set_password(PASSWORD)
    person.save()
    page.goto("/sign-in/")
    page.fill("input[name=username]", person.username)
    page.fill("input[name=password]", PASSWORD)
    page.click("button:has-text('Sign in')")
    page.wait_for_url(re.compile("/(events|loading)/"))


def drag(page: Page, handle: str, right: float, up: float) -> None:
    box = page.locator(f"[data-handle={handle}] circle").nth(1).bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right / 2, y - up / 2)
    page.mouse.move(x + right, y - up)
    page.mouse.up()


def test_a_corner_is_dragged_typed_and_stepped(
    desktop_page: Page, check_axe: Callable[[Page], None]
) -> None:
    area = factories.area(corners=[[-5, 3], [5, 3], [5, 15], [-5, 15]])
    sign_in(desktop_page)
    desktop_page.goto(f"/venues/parts/areas/{area.pk}/")
    drag(desktop_page, "plan-1", 40, 20)
    lines = desktop_page.input_value("#id_corners").split("\n")
    x, y = map(float, lines[1].split(","))
    assert x > 5.5 and y > 3.2
    assert all(re.fullmatch(r"-?\d+(\.\d)?", part.strip()) for part in lines[1].split(","))
    handle = desktop_page.locator("[data-handle=plan-1]")
    assert handle.text_content() == f"x {x:g}, y {y:g} m"
    handle.focus()
    desktop_page.keyboard.press("ArrowLeft")
    desktop_page.keyboard.press("Shift+ArrowUp")
    assert desktop_page.input_value("#id_corners").split("\n")[1] == f"{x - 0.1:g}, {y + 1:g}"
    desktop_page.fill("#id_corners", "-5, 3\n6, 3\n5, 15\n-5, 15")
    assert handle.text_content() == "x 6, y 3 m"
    desktop_page.locator("[data-handle=section-0]").focus()
    desktop_page.keyboard.press("ArrowUp")
    assert desktop_page.input_value("#id_floor_z_m") == "0.1"
    check_axe(desktop_page)
    desktop_page.click("button:has-text('Save')")
    desktop_page.wait_for_url(re.compile(r"/venues/\d+/$"))
    stored = AudienceArea.objects.get()
    assert stored.corners[1] == [6, 3]
    assert stored.floor_z_m == 0.1


def test_corners_are_added_and_removed(desktop_page: Page) -> None:
    space = factories.space()
    factories.area(space=space)
    sign_in(desktop_page)
    desktop_page.goto(f"/venues/spaces/{space.pk}/areas/new/")
    desktop_page.click("[data-add-corner]")
    assert len(desktop_page.input_value("#id_corners").split("\n")) == 4
    desktop_page.click("[data-add-corner]")
    assert desktop_page.input_value("#id_corners").split("\n")[1] == "0, 4"
    desktop_page.locator("[data-handle=plan-1]").focus()
    desktop_page.keyboard.press("Delete")
    assert desktop_page.input_value("#id_corners").split("\n")[1] == "4, 4"


def test_a_place_is_dragged_with_a_finger_wide_handle(
    phone_page: Page, check_axe: Callable[[Page], None]
) -> None:
    space = factories.space()
    factories.area(space=space)
    place = ListeningPlace.objects.create(space=space, name="Mix", x_m=0, y_m=10, z_m=1.3)
    sign_in(phone_page)
    phone_page.goto(f"/venues/parts/places/{place.pk}/")
    phone_page.locator("[data-handle=plan-0]").scroll_into_view_if_needed()
    drag(phone_page, "plan-0", 30, 0)
    assert float(phone_page.input_value("#id_x_m")) > 0.5
    drag(phone_page, "section-0", 0, 20)
    assert float(phone_page.input_value("#id_z_m")) > 1.4
    check_axe(phone_page)
