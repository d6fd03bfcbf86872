"""Real pages in a real browser: Debian's Chromium, driven by Playwright.

Set RIGWRIGHT_CHROMIUM to the browser's program if it is not on PATH as `chromium`. Without a
browser these tests are skipped with a loud line; with RIGWRIGHT_BROWSER_REQUIRED=1 (as in
CI) they fail instead.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from pytest_django.live_server_helper import LiveServer

# Playwright keeps an event loop in this thread; Django would refuse the test's own queries.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

PATIENCE_MS = 10_000
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# Screenshots and axe put empty <style> elements into the page; the policy blocks these too.
EMPTY_STYLE = "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU="
HOW_TO = (
    "BROWSER TESTS DID NOT RUN: no Chromium found. Install it (Debian: apt-get install chromium) "
    "or set RIGWRIGHT_CHROMIUM to its program."
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Each browser test gets a database that the live server's threads can see."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.django_db(transaction=True), append=False)


def _chromium() -> str:
    names = ("chromium", "chromium-browser", "google-chrome")
    found = os.environ.get("RIGWRIGHT_CHROMIUM") or next(filter(None, map(shutil.which, names)), "")
    if found:
        return found
    if os.environ.get("RIGWRIGHT_BROWSER_REQUIRED") == "1":
        pytest.fail(HOW_TO, pytrace=False)
    pytest.skip(HOW_TO)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """One for all: a second one cannot run beside it."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """One browser for all tests; each page gets a context (cookies, cache) of its own."""
    program = _chromium()
    browser = playwright.chromium.launch(executable_path=program, headless=True, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def site(live_server: LiveServer) -> str:
    """Address of the running site, as localhost: a secure context to the browser."""
    return str(live_server.url).replace("127.0.0.1", "localhost")


@pytest.fixture
def open_page(browser: Browser, site: str) -> Iterator[Callable[..., Page]]:
    """Opens pages of the site in contexts of any kind: `open_page(viewport=..., ...)`.

    A script error or a breach of the Content-Security-Policy on a page fails the test.
    """
    contexts: list[BrowserContext] = []
    complaints: list[str] = []

    def complain(page: Page, text: str) -> None:
        if "Content Security Policy" in text and EMPTY_STYLE not in text:
            complaints.append(f"{page.url}: {text}")

    def opened(**options: object) -> Page:
        context = browser.new_context(base_url=site, **options)  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(f"{page.url}: {error}"))
        page.on("console", lambda message: complain(page, message.text))
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not complaints, "The browser complained:\n" + "\n".join(complaints)


@pytest.fixture
def desktop_page(open_page: Callable[..., Page]) -> Page:
    """The office: 1280 x 900."""
    return open_page(viewport={"width": 1280, "height": 900})


@pytest.fixture
def phone_page(open_page: Callable[..., Page]) -> Page:
    """The load-in: 390 x 844, touch."""
    return open_page(
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        device_scale_factor=2,
    )


@pytest.fixture
def check_axe() -> Callable[[Page], None]:
    """`check_axe(page)` fails on anything that axe calls serious or critical."""
    axe = Axe()

    def check(page: Page) -> None:
        faults = [
            f"{fault['impact']}: {fault['help']} ({fault['id']})\n    "
            + "\n    ".join(node["html"][:200] for node in fault["nodes"][:5])
            for fault in axe.run(page).response["violations"]
            if fault["impact"] in {"serious", "critical"}
        ]
        assert not faults, f"axe on {page.url}:\n" + "\n".join(faults)

    return check
