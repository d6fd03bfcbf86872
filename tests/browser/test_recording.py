"""The microphone in a real browser: a file stands for it, and what arrives equals that file."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from rigs.events.models import Event
from rigs.people import rights
from rigs.people.models import Person
from rigs.tuning.models import Recording
from rigs.tuning.wav import blocks, read_header
from tests import factories
from tests.browser import conftest
from tests.browser.test_walk import fits_its_screen
from tests.rigs.tuning.sounds import sine, wav

PASSWORD = "rope and canvas 9"
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
}
PEAK_DB, HZ = -14.0, 1000.0
WITHIN_DB = 0.1


@pytest.fixture(scope="module")
def browser(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A browser whose microphone plays a file: a steady sine whose level is known."""
    path = tmp_path_factory.mktemp("microphone") / "sine.wav"
    path.write_bytes(wav(sine(PEAK_DB, HZ, 2.0)))  # whole periods: it repeats without a seam
    flags = [
        *conftest.FLAGS,
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-audio-capture={path}",
        "--autoplay-policy=no-user-gesture-required",
    ]
    program = conftest._chromium()
    browser = playwright.chromium.launch(executable_path=program, headless=True, args=flags)
    yield browser
    browser.close()


@pytest.fixture
def event(settings, tmp_path: Path) -> Event:
    settings.MEDIA_ROOT = tmp_path
    event = factories.event()
    factories.line(event, factories.placement(event))
    factories.spot(event, name="Mix")
    return event


def sign_in(page: Page, role: str = rights.SYSTEM_TECH) -> Person:
    person = factories.person(role)
    person.set_password(PASSWORD)
    person.save()
    page.goto("/sign-in/")
    page.fill("input[name=username]", person.username)
    page.fill("input[name=password]", PASSWORD)
    page.click("button:has-text('Sign in')")
    page.wait_for_url(re.compile("/(events|loading)/"))
    return person


def samples(row: Recording) -> np.ndarray:
    with row.file.open("rb") as file:
        header = read_header(file)
        return np.concatenate(list(blocks(file, header)))


def record(page: Page, seconds: float = 2.0) -> None:
    page.get_by_role("button", name="Open the input").click()
    expect(page.locator("[data-said]")).to_contain_text("automatic gain are off")
    page.get_by_role("button", name="Record", exact=True).click()
    expect(page.locator("[data-time]")).to_contain_text(re.compile(rf"^{seconds:.0f}\.\d s"))
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("[data-said]")).to_contain_text("Recorded")


def test_what_is_recorded_equals_what_the_microphone_heard(
    open_page: Callable[..., Page], event: Event, check_axe: Callable[[Page], None]
) -> None:
    page = open_page(**PHONE)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/")
    fits_its_screen(page)
    check_axe(page)
    page.get_by_role("link", name="Record at Mix").click()
    page.locator("[name=content]").select_option(label="something else")
    fits_its_screen(page)
    check_axe(page)
    record(page)
    fits_its_screen(page)
    check_axe(page)
    page.get_by_role("button", name="Keep this recording").click()
    page.wait_for_url("**/tuning/")
    expect(page.get_by_role("status").first).to_contain_text("Kept: something else at Mix")
    fits_its_screen(page)
    check_axe(page)

    row = Recording.objects.get()
    assert row.source == "recorded"
    assert row.captured["echoCancellation"] is False
    assert row.captured["noiseSuppression"] is False
    assert row.captured["autoGainControl"] is False
    heard = samples(row)[row.rate_hz // 2 :, 0].astype(float)  # without what the input starts with
    assert 20 * np.log10(np.abs(heard).max()) == pytest.approx(PEAK_DB, abs=WITHIN_DB)
    rms_db = 10 * np.log10(np.mean(heard**2))
    assert rms_db == pytest.approx(PEAK_DB - 10 * np.log10(2), abs=WITHIN_DB)
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(len(heard))))
    assert spectrum.argmax() * row.rate_hz / len(heard) == pytest.approx(HZ, abs=1.0)


def test_a_fault_in_the_form_loses_no_recording(
    open_page: Callable[..., Page], event: Event, check_axe: Callable[[Page], None]
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900})
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/recordings/new/")
    page.locator("[name=content]").select_option(label="something else")
    record(page, 1.0)
    page.get_by_role("button", name="Keep this recording").click()
    expect(page.locator("#recording-fields")).to_contain_text("at which listening spot")
    check_axe(page)
    assert not Recording.objects.exists()
    page.locator("[name=spot]").select_option(label="Mix")
    page.get_by_role("button", name="Keep this recording").click()
    page.wait_for_url("**/tuning/")
    assert Recording.objects.get().frames > 40_000


def test_the_signal_is_played_while_it_is_recorded(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900})
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/recordings/new/?spot={event.listeningspots.get().pk}")
    page.get_by_role("button", name="Open the input").click()
    page.get_by_label("Play the test signal chosen above").check()
    page.get_by_role("button", name="Record", exact=True).click()
    expect(page.locator("[data-trouble]")).to_contain_text("No test signal is chosen")
    page.locator("[name=content]").select_option(label="exponential sweep")
    page.locator("[name=signal]").select_option(value="sweep-5")
    page.get_by_role("button", name="Record", exact=True).click()
    # 2 s from silence, 5 s of sweep, 5 s for the decay and one more: it ends by itself.
    expect(page.locator("[data-said]")).to_contain_text("Recorded 13", timeout=25_000)
    assert page.evaluate("document.getElementById('recorder-audio').currentTime") > 11
    page.get_by_role("button", name="Keep this recording").click()
    page.wait_for_url("**/tuning/")
    assert Recording.objects.get().played["key"] == "sweep-5"


def test_an_input_that_is_not_left_alone_is_refused(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900})
    sign_in(page)
    page.add_init_script(
        "const real = MediaStreamTrack.prototype.getSettings;"
        "MediaStreamTrack.prototype.getSettings = function () {"
        "  return { ...real.call(this), autoGainControl: true };"
        "};"
    )
    page.goto(f"/events/{event.pk}/tuning/recordings/new/")
    page.get_by_role("button", name="Open the input").click()
    expect(page.locator("[data-trouble]")).to_contain_text("keeps automatic gain on")
    expect(page.get_by_role("button", name="Record", exact=True)).to_be_disabled()


def test_without_a_microphone_the_page_says_what_to_do(
    open_page: Callable[..., Page], event: Event
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900})
    sign_in(page)
    page.add_init_script(
        "navigator.mediaDevices.getUserMedia = () => "
        "Promise.reject(new DOMException('no', 'NotAllowedError'));"
    )
    page.goto(f"/events/{event.pk}/tuning/recordings/new/")
    page.get_by_role("button", name="Open the input").click()
    expect(page.locator("[data-trouble]")).to_contain_text("not allowed to use the microphone")


def test_without_javascript_a_file_can_be_sent(
    open_page: Callable[..., Page], event: Event, tmp_path: Path
) -> None:
    page = open_page(viewport={"width": 1280, "height": 900}, java_script_enabled=False)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/recordings/new/")
    expect(page.get_by_text("Recording on this page needs JavaScript")).to_be_visible()
    expect(page.locator("#recorder")).to_be_hidden()
    path = tmp_path / "mix.wav"
    path.write_bytes(wav(sine()))
    page.locator("[name=content]").select_option(label="background noise")
    page.locator("[name=sound]").set_input_files(path)
    page.get_by_role("button", name="Keep this recording").click()
    page.wait_for_url("**/tuning/")
    assert Recording.objects.get().source == "uploaded"


def test_crew_and_small_pages(
    open_page: Callable[..., Page], event: Event, check_axe: Callable[[Page], None]
) -> None:
    page = open_page(**PHONE)
    sign_in(page)
    for path in (f"/events/{event.pk}/tuning/signals/", "/microphones/", "/microphones/new/"):
        page.goto(path)
        fits_its_screen(page)
        check_axe(page)
