"""A ring-out with one thumb: set up, hear a tone come up, place a notch, set it, log it."""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from rigs.events.models import Event
from rigs.systems.models import RingNotch, StageMicrophone
from rigs.systems.queries import current_revision
from tests import factories
from tests.browser import conftest
from tests.browser.test_analysis import CheckAxe, _dark
from tests.browser.test_recording import PHONE, sign_in
from tests.browser.test_walk import DESKTOP, fits_its_screen
from tests.rigs.tuning.sounds import wav

RATE_HZ, HZ = 48_000, 1200.0


@pytest.fixture(scope="module")
def browser(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A browser whose microphone hears a tone grow by 24 dB a second, over and over."""
    times = np.arange(3 * RATE_HZ) / RATE_HZ
    tone = 10 ** ((-75 + 24 * times) / 20) * np.sin(2 * np.pi * HZ * times)
    room = 2e-5 * np.random.default_rng(1).standard_normal(len(times))
    path = tmp_path_factory.mktemp("microphone") / "growing.wav"
    path.write_bytes(wav(tone + room))
    flags = [
        *conftest.FLAGS,
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-audio-capture={path}",
        "--autoplay-policy=no-user-gesture-required",
    ]
    browser = playwright.chromium.launch(
        executable_path=conftest._chromium(), headless=True, args=flags
    )
    yield browser
    browser.close()


@pytest.fixture
def event(settings, tmp_path: Path) -> Event:
    settings.MEDIA_ROOT = tmp_path
    event = factories.event()
    sheet = factories.processor(filters_per_output=8)
    factories.processor_place(event, sheet, name="Rack control")
    StageMicrophone.objects.create(event=event, name="Lectern")
    return event


@pytest.mark.parametrize("screen", [DESKTOP, PHONE["viewport"]], ids=["desk", "phone"])
def test_a_tone_is_heard_tamed_set_and_logged(
    open_page: Callable[..., Page], event: Event, check_axe: CheckAxe, screen
) -> None:
    page = open_page(**PHONE) if screen == PHONE["viewport"] else open_page(viewport=screen)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/")
    page.get_by_role("link", name="Ring-out").click()
    expect(page.get_by_text("can harm hearing").first).to_be_visible()
    page.get_by_label("Processor").select_option(label="Rack control")
    page.get_by_label("Its outputs").fill("1, 2")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("kept free for the show")).to_be_visible()
    _looks_right(page, check_axe)

    page.get_by_role("link", name="Listen with this device").click()
    _looks_right(page, check_axe)
    page.get_by_role("button", name="Start listening").click()
    place = page.get_by_role("button", name="Place a notch at").first
    expect(place).to_be_visible(timeout=15_000)
    _looks_right(page, check_axe)
    place.click()
    expect(page.get_by_text("not set yet")).to_be_visible()
    notch = RingNotch.objects.get()
    assert abs(notch.frequency_hz - HZ) < 2 and notch.origin == "heard"
    page.get_by_role("button", name="Set 1 notch in the processing").click()
    expect(page.get_by_text("in revision 1", exact=False).first).to_be_visible()
    outputs = current_revision(event).outputs.all()
    assert sorted(output.number for output in outputs) == [1, 2]

    page.get_by_text("Write into the log").click()
    page.get_by_label("What happened").select_option(label="rang")
    page.get_by_label("Level reached in dB").fill("4")
    page.get_by_label("It rang at, in Hz").fill("1200")
    page.get_by_role("button", name="Write it").click()
    expect(page.get_by_text("less than the 6 dB of common practice")).to_be_visible()
    _looks_right(page, check_axe)


def _looks_right(page: Page, check_axe: CheckAxe) -> None:
    fits_its_screen(page)
    check_axe(page)
    _dark(page, check_axe)
