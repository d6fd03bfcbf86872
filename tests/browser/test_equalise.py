"""Spots were measured: filters are fitted, looked at, taken, and stand in the processing."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.tuning.models import Equalisation
from rigs.tuning.signals import played
from rigs.tuning.tasks import analyse, fit
from tests import factories
from tests.browser.test_analysis import CheckAxe, _dark
from tests.browser.test_recording import PHONE, sign_in
from tests.browser.test_walk import DESKTOP, fits_its_screen
from tests.rigs.tuning.conftest import Site
from tests.rigs.tuning.rooms import heard, room
from tests.rigs.tuning.sounds import wav
from tests.rigs.tuning.test_recordings import kept


@pytest.fixture
def event(settings, tmp_path: Path, monkeypatch) -> Event:
    """Two spots at which the tops played, and a processor with a graphic equaliser."""
    settings.MEDIA_ROOT = tmp_path
    event = factories.event()
    sheet = factories.processor(
        filters_per_output=6,
        dials={
            "filter_gain_db": {"least": -12, "most": 6, "step": 0.5},
            "graphic_db": {"least": -12, "most": 12, "step": 0.5},
        },
    )
    place = factories.processor_place(event, sheet, name="Rack control")
    box = factories.placement(event)
    line = factories.line(event, box, name="Tops", processor_place=place, output=1)
    tech = Person.objects.create_user("measurer")
    for seed, name in enumerate(("Mix", "Side")):
        site = Site(event, factories.spot(event, name=name), [line], tech)
        sound = wav(heard("sweep-5", room(0.6, seed=seed)), bits=24)
        row = kept(site, sound, [line], played=played("sweep-5"))
        analyse(row.analyses.get().pk)
    return event


@pytest.mark.parametrize("screen", [DESKTOP, PHONE["viewport"]], ids=["desk", "phone"])
def test_filters_are_fitted_and_taken(
    open_page: Callable[..., Page], event: Event, check_axe: CheckAxe, screen
) -> None:
    page = open_page(**PHONE) if screen == PHONE["viewport"] else open_page(viewport=screen)
    sign_in(page)
    page.goto(f"/events/{event.pk}/tuning/")
    page.get_by_role("link", name="Equalise").click()
    expect(page.get_by_text("2 spots")).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    page.get_by_label("Most lift in dB").fill("12")
    page.get_by_role("button", name="Fit").click()
    expect(page.get_by_text("More than 6 dB takes too much headroom")).to_be_visible()
    page.get_by_label("Most lift in dB").fill("3")
    page.get_by_role("button", name="Fit").click()
    expect(page.get_by_text("Waiting for a worker")).to_be_visible()
    fit(Equalisation.objects.latest("pk").pk)
    expect(page.get_by_role("heading", name="What it would do")).to_be_visible()
    fits_its_screen(page)
    check_axe(page)
    _dark(page, check_axe)
    page.get_by_role("button", name="Take it").click()
    expect(page.get_by_text("These filters are in")).to_be_visible()
    page.goto(f"/events/{event.pk}/rig/processing/")
    expect(page.get_by_text("Peak").first).to_be_visible()
    page.goto(f"/events/{event.pk}/tuning/equalise/")
    page.get_by_role("button", name="Fit").click()
    expect(page.get_by_text("would be set twice")).to_be_visible()
