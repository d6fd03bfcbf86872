"""The catalogue in the browser: list, data sheet, forms that lose nothing."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from rigs.catalogue.models import Amplifier, Cable, Connector, End, Item, Kind, Loudspeaker
from rigs.people import rights
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper(client):
    client.force_login(factories.person(rights.WAREHOUSE))
    return client


def rows(name, *typed, first=0):
    """Posted fields of a list of new rows."""
    posted = {f"{name}-TOTAL_FORMS": len(typed), f"{name}-INITIAL_FORMS": first}
    for number, row in enumerate(typed):
        posted |= {f"{name}-{number}-{field}": value for field, value in row.items()}
    return posted


def base(**fields):
    return {
        "maker": "Testmade",
        "model": "New one",
        "preparation": "0:30",
        "turnaround": "2",
        **rows("ends"),
        **fields,
    }


WAY = {
    "order": 1,
    "name": "full range",
    "pole_pair": 1,
    "rated_impedance_ohm": 8,
    "noise_power_w": 400,
    "noise_power_w_basis": "measured",
    "sensitivity_basis": "1 W",
}


def loudspeaker_post(**fields):
    return base(role="top", **rows("ways", WAY)) | fields


# --- reading ---------------------------------------------------------------------------------


def test_search_and_kind_narrow_the_list(keeper):
    factories.loudspeaker(model="Brightside")
    factories.amplifier(model="Steadfast")
    assert "Brightside" in keeper.get("/catalogue/").text
    assert "Brightside" not in keeper.get("/catalogue/", {"kind": "amplifier"}).text
    page = keeper.get("/catalogue/", {"q": "testmade steadf"}).text
    assert "Steadfast" in page
    assert "Brightside" not in page
    assert "Nothing in the catalogue fits" in keeper.get("/catalogue/", {"q": "zzz"}).text


def test_owned_pieces_leave_out_what_is_gone(keeper):
    box, run = factories.loudspeaker(), factories.cable()
    factories.units(box, 3)
    factories.unit(box, state="gone")
    factories.count(run, 41)
    assert "Owned: <b>3</b>" in keeper.get(reverse("catalogue:item", args=[box.pk])).text
    assert "Owned: <b>41</b>" in keeper.get(reverse("catalogue:item", args=[run.pk])).text


def test_the_list_needs_the_same_queries_for_one_and_fifty(keeper):
    def one_of_each():
        factories.units(factories.loudspeaker(), 2)
        factories.amplifier()
        factories.count(factories.cable(), 3)
        factories.processor()
        factories.accessory()

    one_of_each()
    with CaptureQueriesContext(connection) as few:
        keeper.get("/catalogue/")
    for _ in range(10):
        one_of_each()
    with CaptureQueriesContext(connection) as many:
        page = keeper.get("/catalogue/")
    assert page.text.count("<tr>") > 50
    assert len(many) == len(few)


def test_each_figure_shows_its_unit_and_basis(keeper):
    box = factories.loudspeaker(
        way={
            "minimum_impedance_ohm": None,
            "sensitivity_db": 97.0,
            "basis": {"sensitivity_db": "measured", "noise_power_w": "assumed"},
        }
    )
    page = " ".join(keeper.get(reverse("catalogue:item", args=[box.pk])).text.split())
    badge = '<span class="basis" data-basis="{0}">{0}</span>'.format
    assert f"97&nbsp;dB {badge('measured')}" in page
    assert f"400&nbsp;W {badge('assumed')}" in page
    assert f"8&nbsp;ohm {badge('data sheet')}" in page
    assert f"<dt>Minimum impedance</dt> <dd> {badge('unknown')}" in page


def test_an_amplifier_shows_its_ratings_by_mode(keeper):
    amp = factories.amplifier(bridged={8.0: 2400.0})
    page = " ".join(keeper.get(reverse("catalogue:item", args=[amp.pk])).text.split())
    assert page.index("Per channel") < page.index("1200 W")
    assert "2400 W" in page


# --- writing ---------------------------------------------------------------------------------


def test_a_new_loudspeaker_keeps_ways_ends_and_bases(keeper):
    pole = factories.connector("35 mm pole", direct=True)
    posted = loudspeaker_post(
        mass_kg="18.5",
        mass_kg_basis="assumed",
        **rows(
            "ends",
            {"connector": pole.pk, "side": "takes", "count": 1},
            {"new_connector": "twist-lock 4-pole", "side": "takes", "count": 1},
        ),
    )
    answer = keeper.post("/catalogue/new/loudspeaker/", posted)
    box = Loudspeaker.objects.get()
    assert answer.url == reverse("catalogue:item", args=[box.pk])
    assert (box.basis_of("mass_kg"), box.basis_of("width_m")) == ("assumed", "unknown")
    way = box.ways.get()
    assert (way.noise_power_w, way.basis) == (400, {"noise_power_w": "measured"})
    assert box.ends.count() == 2
    assert Connector.objects.filter(name="twist-lock 4-pole").exists()
    assert box.preparation.total_seconds() == 1800
    assert box.turnaround.total_seconds() == 7200


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("mass_kg", "-4", "Mass in kg must be at least 0.001."),
        ("mass_kg", "heavy", "Write a number, or leave it empty."),
        ("width_m", "40", "Width in m above 5 is not believable."),
        ("turnaround", "-2", "This can&#x27;t be negative."),
        ("turnaround", "soon", "Write hours as 2 or as 2:30."),
        ("ways-0-noise_power_w", "-1", "Rated noise power in W must be at least 0.1."),
        ("ways-0-minimum_impedance_ohm", "9", "The minimum impedance can&#x27;t be above"),
        ("maker", "", "This field is required."),
    ],
)
def test_a_bad_value_is_a_sentence_and_nothing_typed_is_lost(keeper, field, value, sentence):
    posted = loudspeaker_post(notes="Handle with care", mass_kg="18.5") | {field: value}
    page = keeper.post("/catalogue/new/loudspeaker/", posted)
    assert page.status_code == 422
    assert sentence in page.text
    assert not Item.objects.exists()
    for typed in ("New one", "Handle with care", "full range", value):
        assert typed in page.text
    assert f'name="{field}" value="{value}"' in page.text or not value
    assert '<option value="measured" selected>' in page.text


def test_two_ways_of_one_name_are_refused(keeper):
    posted = loudspeaker_post(**rows("ways", WAY, WAY | {"order": 2}))
    page = keeper.post("/catalogue/new/loudspeaker/", posted)
    assert "Two rows say the same" in page.text
    assert not Item.objects.exists()


def test_one_more_row_keeps_what_is_typed_and_saves_nothing(keeper):
    posted = loudspeaker_post(more="ways") | {"ways-0-name": "low", "mass_kg": "-4"}
    page = keeper.post("/catalogue/new/loudspeaker/", posted)
    assert 'name="ways-1-name"' in page.text
    added = page.context["lists"]["ways"][1]
    assert (added["order"].value(), added["noise_power_w_basis"].value()) == (1, "data sheet")
    assert 'value="low"' in page.text
    assert not Item.objects.exists()


def test_an_added_row_that_stays_empty_is_no_fault(keeper):
    first = loudspeaker_post()
    grown = keeper.post("/catalogue/new/loudspeaker/", first | {"more": "ways"})
    rows_shown = grown.context["lists"]["ways"]
    again = first | {"ways-TOTAL_FORMS": 2} | {f.html_name: f.value() for f in rows_shown[1]}
    typed = {name: "" if value is None else value for name, value in again.items()}
    answer = keeper.post("/catalogue/new/loudspeaker/", typed)
    assert answer.status_code == 302
    assert Loudspeaker.objects.get().ways.count() == 1


def test_an_edit_changes_rows_and_removes_them(keeper):
    amp = factories.amplifier()
    first, second = amp.ratings.all()
    (mode,) = amp.modes.all()
    posted = base(
        model=amp.model,
        channels=2,
        rack_units=2,
        gain_db=29,
        seen_version=amp.version,
        **rows(
            "modes",
            {"id": mode.pk, "mode": "per channel", "minimum_load_ohm": 2}
            | {"minimum_kind": "true", "extra_gain_db": 0},
            first=1,
        ),
        **rows(
            "ratings",
            {"id": first.pk, "mode": "per channel", "load_ohm": 8, "power_w": 650}
            | {"signal": "burst"},
            {"id": second.pk, "mode": "per channel", "load_ohm": 4, "DELETE": "on"}
            | {"signal": "not stated"},
            first=2,
        ),
    )
    answer = keeper.post(reverse("catalogue:edit", args=[amp.pk]), posted)
    assert answer.status_code == 302
    amp = Amplifier.objects.get()
    assert (amp.gain_db, amp.version) == (29, 2)
    assert [(r.load_ohm, r.power_w, r.signal) for r in amp.ratings.all()] == [(8, 650, "burst")]
    assert amp.modes.get().minimum_kind == "true"


def test_the_second_of_two_people_is_told_and_may_save_again(keeper):
    run = factories.cable()
    posted = base(
        model=run.model, use="loudspeaker", length_m=12, conductor_class="5", pole_pairs=2
    )
    Cable.objects.get().save()
    Item.objects.update(version=5)
    page = keeper.post(reverse("catalogue:edit", args=[run.pk]), posted | {"seen_version": 4})
    assert page.status_code == 422
    assert "while you had it open" in page.text
    assert 'value="12"' in page.text
    assert 'name="seen_version" value="5"' in page.text
    again = keeper.post(reverse("catalogue:edit", args=[run.pk]), posted | {"seen_version": 5})
    assert again.status_code == 302
    assert Cable.objects.get().length_m == 12


CABLE = {"use": "loudspeaker", "length_m": 10, "conductor_class": "unknown", "pole_pairs": 1}


def test_awg_fills_the_area(keeper):
    """AWG 12 is 3.3088 mm2 (ASTM B258, MATH)."""
    keeper.post("/catalogue/new/cable/", base(**CABLE, awg="12"))
    assert Cable.objects.get().area_mm2 == pytest.approx(3.3088, abs=0.0001)


def test_awg_against_another_area_is_refused(keeper):
    page = keeper.post("/catalogue/new/cable/", base(**CABLE, awg="12", area_mm2="2.5"))
    assert "AWG 12 is 3.31 mm²" in page.text
    assert 'value="2.5"' in page.text
    assert not Cable.objects.exists()


def test_gain_and_sensitivity_together_are_refused(keeper):
    posted = base(
        channels=2, rack_units=2, gain_db=32, sensitivity_v=1, **rows("modes"), **rows("ratings")
    )
    page = keeper.post("/catalogue/new/amplifier/", posted)
    assert "not both" in page.text
    assert "Say into which load" in page.text


def test_a_connection_row_wants_one_connector(keeper):
    pole = factories.connector("pole")
    both = {"connector": pole.pk, "new_connector": "spigot", "side": "takes", "count": 1}
    page = keeper.post("/catalogue/new/accessory/", base(**rows("ends", both)))
    assert "not both" in page.text
    same = {"new_connector": "Spigot", "side": "takes", "count": 1}
    twice = rows("ends", same, same | {"new_connector": "spigot"})
    page = keeper.post("/catalogue/new/accessory/", base(**twice))
    assert "repeats another one" in page.text
    assert not End.objects.exists()
    assert not Connector.objects.filter(name__iexact="spigot").exists()


def test_an_unknown_kind_is_no_page(keeper):
    assert keeper.get("/catalogue/new/teapot/").status_code == 404


@pytest.mark.parametrize("kind", Kind.values)
def test_each_kind_has_its_empty_form(keeper, kind):
    page = keeper.get(f"/catalogue/new/{kind}/")
    assert page.status_code == 200
    assert "ends-0-connector" in page.text
