"""Stage microphones in the browser: one added on the phone, mended at the desk."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.people.demo import DEMO_PASSWORD
from rigs.people.rights import SYSTEM_TECH
from tests import factories
from tests.browser.test_walk import DESKTOP, PHONE, fits_its_screen, picture, sign_in

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]


@pytest.fixture
def event() -> Event:
    """One box over one area, outdoors."""
    space = factories.space(indoors=False)
    factories.area(space=space, name="Floor", corners=[[-8, 4], [8, 4], [8, 24], [-8, 24]])
    event = factories.event(name="Ferrymen's Night", space=space)
    tech = factories.person(SYSTEM_TECH, "pat")
    tech.set_password(DEMO_PASSWORD)
    tech.save()
    top = factories.placement(event, name="Top", z_m=3, tilt_deg=-8)
    factories.plays(factories.line(event, top, name="Tops"))
    return event


def test_a_microphone_is_placed_and_what_helps_is_done(
    event: Event, open_page: OpenPage, check_axe: CheckAxe
) -> None:
    phone = open_page(**PHONE)
    sign_in(phone, "pat")
    phone.goto(f"/events/{event.pk}/rig/")
    phone.get_by_role("link", name="Add a microphone").click()
    check_axe(phone)
    fits_its_screen(phone)
    phone.get_by_label("Name").fill("Lectern")
    phone.get_by_label("Distance of the source").fill("200")
    phone.get_by_role("button", name="Save", exact=True).click()
    expect(phone.get_by_text("above 20 is not believable")).to_be_visible()
    expect(phone.get_by_label("Name")).to_have_value("Lectern")
    phone.get_by_label("Distance of the source").fill("2")
    phone.get_by_label("Pattern").select_option("cardioid")
    phone.get_by_role("button", name="Save", exact=True).click()
    card = phone.locator("article", has_text="Gain before feedback: Lectern")
    expect(card).to_contain_text("fails")
    card.get_by_text("Why").click()
    expect(card).to_contain_text("ource at 1 m instead of 2 m")
    fits_its_screen(phone)
    check_axe(phone)
    picture(phone, "microphones")
    _its_source_comes_nearer(open_page(viewport=DESKTOP), event, check_axe)


def _its_source_comes_nearer(desk: Page, event: Event, check_axe: CheckAxe) -> None:
    sign_in(desk, "pat")
    desk.goto(f"/events/{event.pk}/rig/")
    desk.get_by_role("link", name="Lectern").click()
    check_axe(desk)
    desk.get_by_label("Distance of the source").fill("0.05")
    desk.get_by_role("button", name="Save", exact=True).click()
    card = desk.locator("article", has_text="Gain before feedback: Lectern")
    expect(card).to_contain_text("holds")
