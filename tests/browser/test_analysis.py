"""A recording comes in, is analysed, and its page turns into the result by itself."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.tuning.models import Analysis
from rigs.tuning.tasks import analyse
from tests import factories
from tests.browser.test_recording import PHONE, sign_in
from tests.browser.test_walk import DESKTOP, fits_its_screen
from tests.rigs.tuning.rooms import heard, room
from tests.rigs.tuning.sounds import wav

CheckAxe = Callable[[Page], None]


@pytest.fixture
def event(settings, tmp_path: Path) -> Event:
    settings.MEDIA_ROOT = tmp_path
    event = factories.event()
    sheet = factories.loudspeaker()
    boxes = [factories.placement(event, sheet, x_m=x, z_m=2.5) for x in (-4.0, 4.0)]
    factories.line(event, *boxes)
    factories.spot(event, name="Mix", x_m=0.1)
    factories.spot(event, name="Side", x_m=-3.0)
    return event


def send(page: Page, event: Event, spot: str, seed: int) -> Analysis:
    page.goto(f"/events/{event.pk}/tuning/recordings/new/")
    page.locator("[name=content]").select_option(label="exponential sweep")
    page.locator("[name=signal]").select_option(label="exponential sweep, 5 s")
    page.locator("[name=spot]").select_option(label=spot)
    sound = wav(heard("sweep-5", room(0.7, seed=seed)), bits=24)
    page.set_input_files(
        "[name=sound]", {"name": "a.wav", "mimeType": "audio/wav", "buffer": sound}
    )
    page.get_by_role("button", name="Keep this recording").click()
    page.wait_for_url("**/tuning/")
    return Analysis.objects.latest("pk")


@pytest.mark.parametrize("screen", [DESKTOP, PHONE["viewport"]], ids=["desk", "phone"])
def test_a_sweep_is_sent_and_its_result_read(
    open_page: Callable[..., Page], event: Event, check_axe: CheckAxe, screen
) -> None:
    page = open_page(**PHONE) if screen == PHONE["viewport"] else open_page(viewport=screen)
    sign_in(page)
    first = send(page, event, "Mix", seed=1)
    page.get_by_role("link", name="What was found").click()
    expect(page.get_by_text("waiting for a worker")).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    analyse(first.pk)
    expect(page.get_by_role("heading", name="How it dies away")).to_be_visible()
    expect(page.get_by_text("did not share a clock")).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    _dark(page, check_axe)
    analyse(send(page, event, "Side", seed=2).pk)
    page.get_by_role("link", name="Listening spots").click()
    expect(page.get_by_role("heading", name="What they hear")).to_be_visible()
    expect(page.get_by_text("0.1 m off the middle").first).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    _dark(page, check_axe)


def _dark(page: Page, check_axe: CheckAxe) -> None:
    page.emulate_media(color_scheme="dark")
    check_axe(page)
    page.emulate_media(color_scheme="light")
