"""Target curves: points dragged, stepped, added, removed; the field of points follows, and back."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from rigs.tuning.models import TargetCurve
from tests.browser.test_analysis import CheckAxe, _dark
from tests.browser.test_recording import PHONE, sign_in
from tests.browser.test_walk import DESKTOP, fits_its_screen

SCREENS = {"desk": DESKTOP, "phone": PHONE["viewport"]}


@pytest.fixture(params=SCREENS)
def page(request, open_page: Callable[..., Page]) -> Page:
    """Signed in, on each screen."""
    options = PHONE if request.param == "phone" else {"viewport": DESKTOP}
    page: Page = open_page(**options)
    sign_in(page)
    return page


@pytest.fixture
def row() -> TargetCurve:
    return TargetCurve.objects.create(
        name="House", points=[[100.0, 3.0], [1000.0, 0.0], [8000.0, -3.0]]
    )


def handle(page: Page, number: int):
    return page.locator(f"[data-handle$='-{number}']:visible")


def lines(page: Page) -> list[tuple[float, float]]:
    text = page.input_value("#id_table")
    return [(float(hz), float(db)) for hz, db in (line.split(",") for line in text.split("\n"))]


def middle(page: Page, number: int) -> tuple[float, float]:
    box = handle(page, number).locator("circle").nth(1).bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, number: int, right: float, up: float) -> None:
    x, y = middle(page, number)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right / 2, y - up / 2)
    page.mouse.move(x + right, y - up)
    page.mouse.up()


def keep(page: Page, name: str) -> None:
    """A picture for who looks at it, where a folder is named."""
    if folder := os.environ.get("RIGWRIGHT_PICTURES"):
        wide = page.viewport_size["width"] if page.viewport_size else 0
        page.screenshot(path=Path(folder) / f"{name}-{wide}.png", full_page=True)


def test_a_point_is_dragged_and_saved(page: Page, row: TargetCurve, check_axe: CheckAxe) -> None:
    page.goto(f"/targets/{row.pk}/")
    handle(page, 1).scroll_into_view_if_needed()
    before = middle(page, 1)
    drag(page, 1, 30, 25)
    (low, mid, high) = lines(page)
    assert (low, high) == ((100, 3), (8000, -3))
    assert mid[0] > 1200 and mid[1] > 1.5
    assert mid[0] % 100 == 0 and (2 * mid[1]) % 1 == 0
    after = middle(page, 1)
    assert after[0] - before[0] == pytest.approx(30, abs=6)
    assert before[1] - after[1] == pytest.approx(25, abs=3)
    told = f"{mid[0] / 1000:g} kHz, +{mid[1]:g} dB"
    expect(page.locator("[data-chosen]")).to_have_text(told)
    expect(handle(page, 1)).to_have_attribute("aria-label", f"Point 2: {told}")
    fits_its_screen(page)
    check_axe(page)
    keep(page, "target")
    page.emulate_media(color_scheme="dark")
    keep(page, "target-dark")
    _dark(page, check_axe)
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/targets/")
    row.refresh_from_db()
    assert row.points == [list(point) for point in (low, mid, high)]


def test_a_finger_drags_a_point_and_the_page_stays(
    open_page: Callable[..., Page], row: TargetCurve
) -> None:
    page = open_page(**PHONE)
    sign_in(page)
    page.goto(f"/targets/{row.pk}/")
    handle(page, 1).scroll_into_view_if_needed()
    scrolled = page.evaluate("window.scrollY")
    x, y = middle(page, 1)
    finger = page.context.new_cdp_session(page)
    # Beside the middle: a finger is not that exact, and what it took stays under it.
    for kind, right, up in (("Start", 0, 0), ("Move", 10, 20), ("Move", 20, 40), ("End", 0, 0)):
        at = [] if kind == "End" else [{"x": x + 15 + right, "y": y + 15 - up}]
        finger.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": at})
    expect(page.locator("[data-said]")).not_to_be_empty()  # it was let go
    (_, (hz, db), _) = lines(page)
    after = middle(page, 1)
    assert (after[0] - x, y - after[1]) == (pytest.approx(20, abs=6), pytest.approx(40, abs=4))
    assert hz > 1000 and db > 3
    assert page.evaluate("window.scrollY") == scrolled


def test_a_point_stays_between_its_neighbours_and_on_the_paper(
    page: Page, row: TargetCurve
) -> None:
    page.goto(f"/targets/{row.pk}/")
    handle(page, 1).scroll_into_view_if_needed()
    drag(page, 1, -400, 600)
    assert lines(page) == [(100, 3), (110, 24), (8000, -3)]
    drag(page, 2, 600, -700)
    assert lines(page)[2] == (24_000, -24)


def test_points_go_by_keys(page: Page, row: TargetCurve) -> None:
    page.goto(f"/targets/{row.pk}/")
    handle(page, 1).focus()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowUp")
    assert lines(page)[1] == (1000, 3.5)
    page.keyboard.press("ArrowRight")
    assert lines(page)[1] == (1100, 3.5)
    page.keyboard.press("Shift+ArrowLeft")
    assert lines(page)[1] == (870, 3.5)
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    assert lines(page)[2] == (8000, -3.5)
    expect(page.locator("[data-said]")).to_have_text("Point 3: 8 kHz, \N{MINUS SIGN}3.5 dB")
    page.keyboard.press("Delete")
    assert lines(page) == [(100, 3), (870, 3.5)]
    expect(handle(page, 1)).to_be_focused()


def test_a_new_one_is_drawn_from_nothing(page: Page, check_axe: CheckAxe) -> None:
    page.goto("/targets/new/")
    page.get_by_label("Name").fill("Hall")
    add = page.get_by_role("button", name="Add a point")
    add.click()
    assert lines(page) == [(1000, 0)]
    add.click()
    add.click()
    assert [hz for hz, _ in lines(page)] == sorted({hz for hz, _ in lines(page)})
    assert len(lines(page)) == 3
    page.get_by_role("button", name="Remove the point").click()
    assert len(lines(page)) == 2
    x, y = middle(page, 0)
    page.mouse.dblclick(x + 12, y - 60)
    assert len(lines(page)) == 3
    assert max(db for _, db in lines(page)) > 4
    check_axe(page)
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/targets/")
    assert len(TargetCurve.objects.get().points) == 3


def test_what_is_typed_moves_the_curve_and_a_bad_line_gets_a_sentence(
    page: Page, row: TargetCurve
) -> None:
    page.goto(f"/targets/{row.pk}/")
    before = middle(page, 1)
    page.fill("#id_table", "100, 3\n1000, 6\n8000, -3")
    assert middle(page, 1)[1] < before[1] - 10
    fault = page.locator("[data-fault]")
    for typed, sentence in {
        "100, 3\n5, 0": "Line 2: a frequency lies from 10 to 24000 Hz.",
        "100, 3\n\n200, 30": "Line 3: a level lies within 24 dB of 0.",
        "100, 3\n90, 0": "Line 2: frequencies must rise.",
        "100, three": "Line 1: write Hz and dB, as in 1000, 0.",
    }.items():
        page.fill("#id_table", typed)
        expect(fault).to_have_text(sentence)
    page.fill("#id_table", "100, 3")
    expect(fault).to_be_hidden()


def test_the_list_shows_shapes(page: Page, row: TargetCurve, check_axe: CheckAxe) -> None:
    page.goto("/targets/")
    assert page.locator("svg.small-curve").count() == 5
    fits_its_screen(page)
    check_axe(page)
    keep(page, "targets")
    _dark(page, check_axe)
    page.get_by_role("link", name="Start from it: dance").click()
    expect(page.locator("[data-handle]:visible")).to_have_count(7)
    assert lines(page)[0] == (30, 8)


def test_without_scripts_it_is_shown_and_typed(open_page: Callable[..., Page], row) -> None:
    page = open_page(viewport=DESKTOP, java_script_enabled=False)
    sign_in(page)
    page.goto(f"/targets/{row.pk}/")
    expect(page.locator(".target-board:visible .aim-point")).to_have_count(3)
    expect(page.get_by_role("button", name="Add a point")).to_be_hidden()
    page.fill("#id_table", "100, 4")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/targets/")
    row.refresh_from_db()
    assert row.points == [[100.0, 4.0]]
