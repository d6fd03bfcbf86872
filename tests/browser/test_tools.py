"""The browser fixtures themselves: a test with tools that see nothing proves nothing."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

NO_NAME = "<html lang=en><title>t</title><main><h1>h</h1><button></button></main></html>"
FINE = "<html lang=en><title>t</title><main><h1>h</h1><button>Add</button></main></html>"


def test_phone_is_a_phone_and_reaches_the_site(phone_page: Page) -> None:
    answer = phone_page.goto("/healthy/")
    assert answer is not None and answer.status == 200
    assert phone_page.evaluate("[screen.width, navigator.maxTouchPoints > 0]") == [390, True]
    assert phone_page.evaluate("window.isSecureContext")


def test_axe_finds_a_button_without_a_name(
    desktop_page: Page, check_axe: Callable[[Page], None]
) -> None:
    desktop_page.set_content(NO_NAME)
    with pytest.raises(AssertionError, match="button-name"):
        check_axe(desktop_page)
    desktop_page.set_content(FINE)
    check_axe(desktop_page)
