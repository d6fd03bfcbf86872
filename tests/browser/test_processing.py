"""Processing in the browser: an output dialled and saved, gone back to, an alignment taken."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.people.demo import DEMO_PASSWORD
from rigs.people.models import Person
from rigs.people.rights import CREW, SYSTEM_TECH
from rigs.systems import actions, queries
from rigs.systems.models import (
    Alignment,
    Link,
    ListeningSpot,
    Output,
    OutputFilter,
    ProcessorPlace,
    Revision,
)
from tests import factories
from tests.browser.test_walk import DESKTOP, PHONE, fits_its_screen, picture, sign_in

CheckAxe = Callable[[Page], None]
OpenPage = Callable[..., Page]
FINE_HZ = ((35.0, 180.0), (60.0, 1500.0), (900.0, 18_000.0))
LINES = ("Subs", "Top lows", "Top highs")


@dataclass
class Site:
    """A rig of two tops with two ways and two subs, each line on an output of its own."""

    event: Event
    place: ProcessorPlace
    alignment: Alignment
    tech: Person

    def path(self, rest: str = "") -> str:
        return f"/events/{self.event.pk}/rig/processing/{rest}"


@pytest.fixture
def rig() -> Site:
    area = factories.area(name="Floor", corners=[[-8, 4], [8, 4], [8, 24], [-8, 24]])
    event = factories.event(name="Ferrymen's Night", space=area.space)
    tech, crew = factories.person(SYSTEM_TECH, "pat"), factories.person(CREW, "kim")
    for each in (tech, crew):
        each.set_password(DEMO_PASSWORD)
        each.save()
    place = factories.processor_place(event, name="Control rack")
    _lines(event, place)
    for number, (kind, hz) in enumerate(
        [("low-pass", 100.0), ("high-pass", 100.0), ("high-pass", 1200.0)], start=1
    ):
        _set(place, number, kind, hz, tech)
    spot = actions.save_spot(
        ListeningSpot(event=event, name="Mix", x_m=0, y_m=16, z_m=1.6), None, tech
    )
    subs, lows = (event.drivelines.get(name=name) for name in LINES[:2])
    row = Alignment(event=event, name="Subs to tops", kind="sub to top", spot=spot)
    return Site(event, place, actions.save_alignment(row, [subs], [lows], None, tech), tech)


def _lines(event: Event, place: ProcessorPlace) -> None:
    bass = factories.loudspeaker(model="Bass box", role="sub", way=_way(0, "sub"))
    top = factories.loudspeaker(model="Two-way top", way=_way(1, "low"))
    factories.add_way(top, **_way(2, "high"))
    cable = factories.cable()
    subs = [
        factories.placement(event, bass, name=f"Sub {n}", x_m=0, y_m=2.5 - n, z_m=0.4)
        for n in (1, 2)
    ]
    tops = [
        factories.placement(event, top, name=name, x_m=x, z_m=3.5, tilt_deg=-8)
        for name, x in (("Top left", -4), ("Top right", 4))
    ]
    for number, name in enumerate(LINES, start=1):
        line = factories.line(event, name=name, processor_place=place, output=number)
        boxes, way = (subs, "sub") if number == 1 else (tops, "low" if number == 2 else "high")
        for order, box in enumerate(boxes, start=1):
            Link.objects.create(
                line=line,
                order=order,
                placement=box,
                way=box.loudspeaker.ways.get(name=way),
                cable=cable,
                from_amplifier=order == 1,
            )


def _way(index: int, name: str) -> dict[str, object]:
    low, high = FINE_HZ[index]
    return {"name": name, "low_hz": low, "high_hz": high}


def _set(place: ProcessorPlace, number: int, kind: str, hz: float, tech: Person) -> None:
    now = queries.current_revision(place.event)
    row = Output(processor_place=place, number=number, inputs=[1], gain_db=0.0, delay_ms=0.0)
    family = OutputFilter.Family.LINKWITZ_RILEY
    filters = [OutputFilter(kind=kind, family=family, order=4, frequency_hz=hz, position=1)]
    if number == 2:
        filters.append(
            OutputFilter(kind="low-pass", family=family, order=4, frequency_hz=1200.0, position=2)
        )
    actions.save_output(
        row, filters, seen=now.number if now else 0, reason=f"{LINES[number - 1]} in", person=tech
    )


def test_processing_is_dialled_saved_and_gone_back_to(
    rig: Site, open_page: OpenPage, check_axe: CheckAxe
) -> None:
    desk = open_page(viewport=DESKTOP)
    sign_in(desk, "pat")
    desk.goto(rig.path())
    expect(desk.get_by_role("heading", name="Processing")).to_be_visible()
    check_axe(desk)
    picture(desk, "processing")
    _an_output_is_edited(desk, rig, check_axe)
    _a_revision_is_gone_back_to(desk, rig, check_axe)
    _an_alignment_is_taken(desk, rig, check_axe)
    _subs_become_an_array(desk, rig, check_axe)


def _an_output_is_edited(page: Page, rig: Site, check_axe: CheckAxe) -> None:
    page.get_by_role("link", name="Output 2 of Control rack").click()
    check_axe(page)
    drawn = page.locator("#output-answer svg polyline.curve").last
    before = drawn.get_attribute("points")
    page.get_by_label("High-pass, corner, Hz").fill("300")
    expect(page.locator("#output-answer")).to_contain_text("stored nowhere yet")
    assert page.locator("#output-answer svg polyline.curve").last.get_attribute("points") != before
    page.get_by_role("button", name="Add a filter").click()
    row = page.get_by_role("group", name="Filter 1")
    row.get_by_label("Kind").select_option("peak")
    row.get_by_label("Frequency").fill("400")
    row.get_by_label("Gain").fill("-5")
    expect(page.locator("#output-answer")).to_contain_text("Say how narrow it is")
    row.get_by_label("Q", exact=True).fill("2")
    expect(page.locator("#output-answer")).not_to_contain_text("can't be read")
    check_axe(page)
    picture(page, "processing-output")
    page.get_by_role("button", name="Save as the next revision").click()
    expect(page.locator(".errors", has_text="Say why")).to_be_visible()
    expect(page.get_by_label("High-pass, corner, Hz")).to_have_value("300")
    page.get_by_label("Why").fill("Boom at 400 Hz")
    page.get_by_role("button", name="Save as the next revision").click()
    expect(page.get_by_text("Saved Control rack, output 2.")).to_be_visible()
    assert Revision.objects.filter(event=rig.event).count() == 4


def _a_revision_is_gone_back_to(page: Page, rig: Site, check_axe: CheckAxe) -> None:
    page.goto(rig.path())
    expect(page.get_by_text("Boom at 400 Hz")).to_be_visible()
    page.get_by_role("link", name="All revisions (4)").click()
    check_axe(page)
    page.get_by_role("link", name="Revision 4").click()
    expect(page.get_by_text("Peak, 400 Hz, -5 dB, Q 2").first).to_be_visible()
    check_axe(page)
    page.goto(rig.path("revisions/3/"))
    check_axe(page)
    picture(page, "processing-revision")
    page.get_by_role("button", name="Go back to this one").click()
    expect(page.get_by_text("Revision 5 says what revision 3 said.")).to_be_visible()
    output = queries.current_revision(rig.event).outputs.get(number=2)
    assert [each.frequency_hz for each in output.filters.all()] == [100.0, 1200.0]


def _an_alignment_is_taken(page: Page, rig: Site, check_axe: CheckAxe) -> None:
    page.goto(rig.path("alignments/"))
    check_axe(page)
    page.get_by_role("link", name="Subs to tops").click()
    expect(page.get_by_text("within ±60°").first).to_be_visible()
    check_axe(page)
    picture(page, "processing-alignment")
    page.get_by_role("button", name="Take this delay").click()
    expect(page.get_by_text("Taken: this is revision 6 now.")).to_be_visible()
    expect(page.get_by_role("button", name="Take this delay")).to_have_count(0)


def _subs_become_an_array(page: Page, rig: Site, check_axe: CheckAxe) -> None:
    page.goto(rig.path("sub-array/"))
    check_axe(page)
    page.get_by_label("Kind").select_option("gradient")
    expect(page.get_by_text("Sub 1 and Sub 2 share Control rack, output 1")).to_be_visible()
    decides = page.locator("#array-result .figure").first
    before = decides.inner_text()
    page.get_by_label("Kind").select_option("spaced")
    expect(decides).not_to_have_text(before)
    assert "kind=spaced" in page.url
    check_axe(page)
    picture(page, "processing-sub-array")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_fits_a_phone_and_reads_well(
    rig: Site, open_page: OpenPage, check_axe: CheckAxe, scheme: str
) -> None:
    phone = open_page(**PHONE | {"color_scheme": scheme})
    sign_in(phone, "pat")
    pages = ["", f"{rig.place.pk}/2/", f"{rig.place.pk}/5/", "revisions/", "revisions/2/"]
    pages += ["alignments/", f"alignments/{rig.alignment.pk}/", "sub-array/?boxes=Sub+1&boxes=Sub+2"
              "&kind=gradient&design_hz=80&aim_deg=0&opening_deg=90&bands=63&bands=80"]  # fmt: skip
    for number, rest in enumerate(pages):
        phone.goto(rig.path(rest))
        fits_its_screen(phone)
        check_axe(phone)
        picture(phone, f"processing-phone-{scheme}-{number}")
    for rest in ("spots/new/", "alignments/new/", "responses/new/"):
        phone.goto(f"/events/{rig.event.pk}/rig/{rest}")
        fits_its_screen(phone)
        check_axe(phone)


def test_crew_reads_on_a_phone_and_changes_nothing(
    rig: Site, open_page: OpenPage, check_axe: CheckAxe
) -> None:
    phone = open_page(**PHONE)
    sign_in(phone, "kim")
    phone.goto(rig.path(f"{rig.place.pk}/2/"))
    expect(phone.get_by_text("Linkwitz-Riley 24 dB/octave, 100 Hz").first).to_be_visible()
    expect(phone.get_by_role("button", name="Save as the next revision")).to_have_count(0)
    fits_its_screen(phone)
    check_axe(phone)


def test_the_essentials_work_without_javascript(rig: Site, open_page: OpenPage) -> None:
    page = open_page(viewport=DESKTOP, java_script_enabled=False)
    page.goto("/sign-in/")
    page.get_by_label("Name", exact=True).fill("pat")
    page.get_by_label("Password").fill(DEMO_PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.goto(rig.path(f"{rig.place.pk}/1/"))
    page.get_by_label("Delay, ms").fill("4.2")
    page.get_by_role("button", name="Add a filter").click()
    expect(page.get_by_role("group", name="Filter 1")).to_be_visible()
    expect(page.get_by_label("Delay, ms")).to_have_value("4.2")
    page.get_by_label("Why").fill("Later")
    page.get_by_role("button", name="Save as the next revision").click()
    expect(page.get_by_text("Saved Control rack, output 1.")).to_be_visible()
    assert queries.current_revision(rig.event).outputs.get(number=1).delay_ms == 4.2
