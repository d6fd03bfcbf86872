"""On the phone: the sheet is read, a tone comes up, one tap makes a notch, and it is set."""

import re
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from rigs.events.models import Event
from rigs.systems.models import RingNotch, RingOut, StageMicrophone
from rigs.systems.queries import current_revision
from tests import factories
from tests.browser import conftest
from tests.browser.test_recording import PHONE, sign_in
from tests.browser.test_walk import DESKTOP, fits_its_screen, picture
from tests.rigs.tuning.sounds import wav

CheckAxe = Callable[[Page], None]
HZ, RATE = 1000.0, 48_000


def howl() -> np.ndarray:
    """Quiet for 1.5 s, then a tone that grows by 30 dB a second and stands at its limit 3 s."""
    noise = 3e-4 * np.random.default_rng(7).standard_normal(7 * RATE)
    times = np.arange(7 * RATE) / RATE
    level = np.clip(-62 + 30 * (times - 1.5), -120, -12)
    level[times > 6.2] = -120
    return noise + 10 ** (level / 20) * np.sin(2 * np.pi * HZ * times)


@pytest.fixture(scope="module")
def browser(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A browser whose microphone hears feedback come up, again and again."""
    path = tmp_path_factory.mktemp("microphone") / "howl.wav"
    path.write_bytes(wav(howl()))
    flags = [
        *conftest.FLAGS,
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-audio-capture={path}",
    ]
    program = conftest._chromium()
    browser = playwright.chromium.launch(executable_path=program, headless=True, args=flags)
    yield browser
    browser.close()


@pytest.fixture
def event() -> Event:
    event = factories.event()
    place = factories.processor_place(
        event, factories.processor(filters_per_output=8), name="Rack control"
    )
    StageMicrophone.objects.create(event=event, name="Lectern")
    RingOut.objects.create(event=event, processor_place=place, outputs=[1, 2], notches=4, reserve=3)
    return event


def looks_right(page: Page, check_axe: CheckAxe, name: str) -> None:
    """It fits, and axe has nothing to say by day and in the dark."""
    fits_its_screen(page)
    check_axe(page)
    picture(page, name)
    page.emulate_media(color_scheme="dark")
    check_axe(page)
    picture(page, f"{name}-dark")
    page.emulate_media(color_scheme="light")


@pytest.mark.parametrize("screen", ["phone", "desk"])
def test_a_tone_is_heard_tapped_set_and_logged(
    open_page: Callable[..., Page], event: Event, check_axe: CheckAxe, screen: str
) -> None:
    page = open_page(**PHONE) if screen == "phone" else open_page(viewport=DESKTOP)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/")
    page.get_by_role("link", name="Ring-out").click()
    expect(page.get_by_text("One hand stays on the master", exact=False).first).to_be_visible()
    looks_right(page, check_axe, f"ring-out-{screen}")
    page.get_by_role("link", name="Listen with this device").click()
    looks_right(page, check_axe, f"listening-before-{screen}")
    page.get_by_label("Microphone that is raised now").select_option(label="Lectern")
    page.get_by_role("button", name="Listen", exact=True).click()
    expect(page.locator("[data-said]")).to_contain_text("Listening")

    tone = page.locator("[data-tones] li")
    expect(tone).to_contain_text(re.compile(r"(999|1000|1001) Hz"), timeout=15_000)
    expect(tone).to_contain_text("Sounds now")
    expect(page.locator("[data-alarm]")).to_contain_text("comes up: turn down")
    looks_right(page, check_axe, f"listening-{screen}")
    button = tone.get_by_role("button", name="Place notch")
    assert button.bounding_box()["height"] >= 48  # one thumb
    button.click()
    expect(tone).to_contain_text("On the sheet. Dial in at Rack control, outputs 1, 2")
    expect(page.locator("#listening-sheet")).to_contain_text("1 placed, 0 more at sound check")
    # It goes on listening: the tone stops, stays in the list, and comes up again.
    expect(tone).to_contain_text("Stopped", timeout=15_000)
    expect(tone).to_contain_text("Sounds now", timeout=15_000)
    assert tone.count() == 1
    looks_right(page, check_axe, f"listening-placed-{screen}")

    page.get_by_role("link", name="See them on the sheet").click()
    expect(page.locator(".notch-list")).to_contain_text("Lectern")
    page.get_by_role("button", name=re.compile("Set 1 notch")).click()
    expect(page.locator(".notch-list")).to_contain_text("in revision 1")
    looks_right(page, check_axe, f"ring-out-set-{screen}")
    notch = RingNotch.objects.get()
    assert notch.frequency_hz == pytest.approx(HZ, abs=1) and notch.origin == "heard"
    output = current_revision(event).outputs.get(number=2)
    assert output.filters.get().frequency_hz == notch.frequency_hz

    page.get_by_text("Write into the log").click()
    page.get_by_label("What happened").select_option(label="rang")
    page.get_by_label("Level reached in dB").fill("4")
    page.get_by_label("It rang at, in Hz").fill("1000")
    page.get_by_role("button", name="Write it").click()
    expect(page.get_by_text("less than the 6 dB of common practice")).to_be_visible()


def signed_in(open_page: Callable[..., Page]) -> Page:
    page = open_page(**PHONE)
    sign_in(page)
    return page


def listens(page: Page, event: Event) -> None:
    page.goto(f"/events/{event.pk}/tuning/ring-out/listen/")
    page.get_by_role("button", name="Listen", exact=True).click()


def test_a_howl_at_the_limiter_is_not_forgotten(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = signed_in(open_page)
    listens(page, event)
    tone = page.locator("[data-tones] li")
    # Three seconds after it came up it grows no more, and is still named.
    expect(tone).to_contain_text(re.compile(r"Sounds now.* for [34] s"), timeout=20_000)
    page.get_by_role("button", name="Stop listening").click()
    expect(page.locator("[data-said]")).to_have_text("Not listening.")
    page.get_by_role("button", name="Clear the list").click()
    expect(tone).to_have_count(0)


def test_a_lost_connection_and_a_lost_session_are_told(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = signed_in(open_page)
    listens(page, event)
    expect(page.locator("[data-said]")).to_have_text("Listening.")
    page.context.set_offline(True)
    expect(page.locator("[data-trouble]")).to_contain_text("No connection")
    page.context.set_offline(False)
    expect(page.locator("[data-trouble]")).to_have_text("")
    page.context.clear_cookies()
    expect(page.locator("[data-trouble]")).to_contain_text("Load this page anew")


def test_an_answer_that_hangs_is_told(open_page: Callable[..., Page], event: Event) -> None:
    page = signed_in(open_page)
    page.route("**/listen/heard/**", lambda route: None)  # nobody answers
    listens(page, event)
    expect(page.locator("[data-trouble]")).to_contain_text("No connection", timeout=8_000)


def test_an_input_that_is_not_left_alone_is_refused(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = signed_in(open_page)
    page.add_init_script(
        "const real = MediaStreamTrack.prototype.getSettings;"
        "MediaStreamTrack.prototype.getSettings = function () {"
        "  return { ...real.call(this), noiseSuppression: true };"
        "};"
    )
    listens(page, event)
    expect(page.locator("[data-trouble]")).to_contain_text("keeps noise suppression on")
    expect(page.get_by_role("button", name="Listen", exact=True)).to_be_enabled()


def test_without_javascript_it_says_what_to_do(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = open_page(**PHONE, java_script_enabled=False)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/ring-out/listen/")
    expect(page.get_by_text("Listening on this page needs JavaScript")).to_be_visible()
    expect(page.locator("#listening")).to_be_hidden()
