"""What a processor can be set to, typed from its manual at the warehouse's screens."""

from collections.abc import Callable
from typing import Any

import pytest
from django.conf import settings
from playwright.sync_api import Page, expect

from rigs.catalogue.models import Processor
from rigs.people import rights
from tests import factories
from tests.browser.test_walk import PHONE, fits_its_screen, picture

CheckAxe = Callable[[Page], None]


@pytest.fixture
def opened(open_page: Callable[..., Page], client: Any, site: str) -> Callable[..., Page]:
    """A page of somebody who keeps the catalogue."""
    client.force_login(factories.person(rights.WAREHOUSE))
    session = client.cookies[settings.SESSION_COOKIE_NAME].value

    def page(**options: Any) -> Page:
        found = open_page(**options)
        found.context.add_cookies(
            [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": site}]
        )
        return found

    return page


@pytest.mark.parametrize("screen", ["desktop", "phone"])
def test_steps_are_typed_and_stand_on_the_sheet_in_words(
    opened: Callable[..., Page], check_axe: CheckAxe, screen: str
) -> None:
    processor = factories.processor(model="Almanac")
    page = opened(
        **({"viewport": {"width": 1280, "height": 900}} if screen == "desktop" else PHONE)
    )
    page.goto(f"/catalogue/{processor.pk}/edit/")
    page.get_by_label("Delay, from").fill("9")
    page.get_by_label("Delay, to").fill("3")
    page.get_by_label("Delay, step").fill("0.01")
    page.get_by_role("group", name="Linkwitz-Riley").get_by_label("24 dB/octave").check()
    page.get_by_role("group", name="Kinds of filters").get_by_label("notch").check()
    check_axe(page)
    page.get_by_role("button", name="Save").last.click()
    expect(page.get_by_text("It can't go from a greater to a smaller number.")).to_be_visible()
    picture(page, f"abilities-{screen}")
    fits_its_screen(page)
    page.get_by_label("Delay, from").fill("0")
    page.get_by_label("Delay, to").fill("1300")
    page.get_by_role("button", name="Save").last.click()
    expect(page.get_by_text("from 0 to 1300 ms in steps of 0.01 ms")).to_be_visible()
    check_axe(page)
    fits_its_screen(page)
    picture(page, f"abilities-shown-{screen}")
    assert Processor.objects.get().slopes.count() == 1
