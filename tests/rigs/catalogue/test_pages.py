"""The catalogue in the browser: list, data sheet, forms that lose nothing."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from rigs.catalogue.models import (
    Amplifier,
    Cable,
    Connector,
    End,
    Item,
    Kind,
    Loudspeaker,
    Mixer,
    Processor,
)
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
        ("maker", "", "Fill this in."),
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


# --- impedance curves ------------------------------------------------------------------------

CURVE_TEXT = "20, 12, 40\n50, 48, 0\n200, 6.4, -5\n2000, 20, 30"
PLAIN_CURVE = {
    "frequency_hz": [20.0, 50.0, 200.0, 2000.0],
    "magnitude_ohm": [12.0, 48.0, 6.4, 20.0],
    "phase_deg": [40.0, 0.0, -5.0, 30.0],
}


def curve_post(text="", *, upload=None, **way):
    typed = WAY | {"curve_text": text, "impedance_curve_basis": "measured"} | way
    posted = loudspeaker_post(**rows("ways", typed))
    if upload is not None:
        posted["ways-0-curve_file"] = SimpleUploadedFile("curve.csv", upload)
    return posted


def test_a_pasted_curve_is_kept_with_its_basis(keeper):
    keeper.post("/catalogue/new/loudspeaker/", curve_post(CURVE_TEXT))
    way = Loudspeaker.objects.get().ways.get()
    assert way.impedance_curve == PLAIN_CURVE
    assert way.basis_of("impedance_curve") == "measured"


def test_an_uploaded_curve_replaces_what_is_typed(keeper):
    posted = curve_post("10, 8\n20, 9", upload=CURVE_TEXT.replace(", ", ";").encode())
    assert keeper.post("/catalogue/new/loudspeaker/", posted).status_code == 302
    assert Loudspeaker.objects.get().ways.get().impedance_curve == PLAIN_CURVE


@pytest.mark.parametrize("how", ["pasted", "uploaded"])
def test_a_bad_curve_names_its_line_and_stays_to_be_mended(keeper, how):
    bad = CURVE_TEXT.replace("200, 6.4", "200, 0")
    posted = curve_post(upload=bad.encode()) if how == "uploaded" else curve_post(bad)
    page = keeper.post("/catalogue/new/loudspeaker/", posted)
    assert page.status_code == 422
    assert "Line 3, “200, 0, -5”: an impedance of 0 ohm cannot be" in page.text
    assert "200, 0, -5\n2000, 20, 30" in page.text.replace("\r", "")
    assert 'id="id_ways-0-curve_text_error"' in page.text
    assert not Item.objects.exists()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "This is no text file."),
        (b"20, 8\n" * 40_000, "This file is too large for an impedance curve"),
        (b"", "This file is empty."),
    ],
)
def test_a_file_that_is_no_curve_is_a_sentence_and_typed_points_stay(keeper, content, sentence):
    page = keeper.post(
        "/catalogue/new/loudspeaker/", curve_post("20, 8\n40, 7.5", upload=content, name="low")
    )
    assert page.status_code == 422
    assert sentence in page.text
    assert "40, 7.5" in page.text
    assert 'value="low"' in page.text


def test_one_more_way_keeps_the_points_of_a_chosen_file(keeper):
    posted = curve_post(upload=CURVE_TEXT.encode()) | {"more": "ways"}
    page = keeper.post("/catalogue/new/loudspeaker/", posted)
    assert 'name="ways-1-curve_text"' in page.text
    assert "200, 6.4, -5" in page.text


def edited(keeper, box, **way):
    """The edit form posted as the page shows it, but for some fields of the first way."""
    url = reverse("catalogue:edit", args=[box.pk])
    page = keeper.get(url)
    forms = [page.context["form"], *page.context["lists"]["ways"].forms]
    posted = {f.html_name: f.value() for form in forms for f in form}
    posted |= base(model=box.model, **rows("ways")) | {
        "ways-TOTAL_FORMS": 2,
        "ways-INITIAL_FORMS": 1,
        **{f"ways-0-{name}": value for name, value in way.items()},
    }
    answer = keeper.post(url, {k: "" if v is None else v for k, v in posted.items()})
    assert answer.status_code == 302, answer.text
    return Loudspeaker.objects.get().ways.get()


def test_an_edit_leaves_the_curve_as_it_is_and_can_clear_it(keeper):
    box = factories.loudspeaker(
        way={"impedance_curve": PLAIN_CURVE, "basis": {"impedance_curve": "assumed"}}
    )
    way = edited(keeper, box, noise_power_w=350)
    assert (way.noise_power_w, way.impedance_curve) == (350, PLAIN_CURVE)
    assert way.basis_of("impedance_curve") == "assumed"
    way = edited(keeper, box, curve_text="")
    assert way.impedance_curve is None
    assert way.basis == {}


def test_the_page_draws_the_curve_and_lists_its_points(keeper):
    box = factories.loudspeaker(
        way={
            "impedance_curve": PLAIN_CURVE,
            "basis": {"impedance_curve": "measured"},
            "low_hz": 100.0,
            "high_hz": 2000.0,
            "minimum_impedance_ohm": 6.5,
        }
    )
    page = " ".join(keeper.get(reverse("catalogue:item", args=[box.pk])).text.split())
    assert "6.4 ohm</span> at 200 Hz: the least between 100 and 2000 Hz" in page
    assert page.count('<svg class="impedance"') == 2
    assert "min. 6.5</text>" in page
    assert '<td class="number">50</td><td class="number">48</td><td class="number">0</td>' in page


@pytest.mark.parametrize(
    ("way", "sentence"),
    [
        ({"high_hz": 18000.0}, "The curve reaches from 20 to 2000 Hz only."),
        ({"rated_impedance_ohm": 12.0}, "The curve goes below 9.6 ohm, the least"),
        ({"impedance_curve": PLAIN_CURVE | {"phase_deg": []}}, "Without phase"),
        ({"low_hz": None, "high_hz": None}, "the band of this way is unknown"),
        ({"impedance_curve": None}, "No impedance curve: loads are counted by the minimum"),
    ],
)
def test_the_page_says_what_the_curve_does_not(keeper, way, sentence):
    box = factories.loudspeaker(
        way={"impedance_curve": PLAIN_CURVE, "low_hz": 50.0, "high_hz": 2000.0} | way
    )
    assert sentence in keeper.get(reverse("catalogue:item", args=[box.pk])).text


def test_a_page_of_many_curves_needs_the_queries_of_one(keeper):
    box = factories.loudspeaker(way={"impedance_curve": PLAIN_CURVE})
    url = reverse("catalogue:item", args=[box.pk])
    with CaptureQueriesContext(connection) as few:
        keeper.get(url)
    for _ in range(5):
        factories.add_way(box, impedance_curve=PLAIN_CURVE)
    with CaptureQueriesContext(connection) as many:
        assert keeper.get(url).text.count('<svg class="impedance"') == 12
    assert len(many) == len(few)


# --- powers, gains, noise --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("way", "sentence"),
    [
        ({"peak_power_w": "399"}, "The peak power can&#x27;t be below the rated noise power."),
        ({"programme_power_w": "399"}, "The programme power can&#x27;t be below the rated noise"),
    ],
)
def test_peak_and_programme_power_are_not_below_the_noise_power(keeper, way, sentence):
    page = keeper.post("/catalogue/new/loudspeaker/", curve_post(**way))
    assert page.status_code == 422
    assert sentence in page.text
    assert 'value="399"' in page.text


@pytest.mark.parametrize("field", ["peak_power_w", "programme_power_w"])
def test_the_database_refuses_powers_below_the_noise_power(field):
    way = factories.loudspeaker().ways.get()
    with pytest.raises(IntegrityError), transaction.atomic():
        type(way).objects.filter(pk=way.pk).update(**{field: 399.0})
    type(way).objects.filter(pk=way.pk).update(**{field: 400.0})


def amplifier_post(**fields):
    return base(channels=2, rack_units=2, **rows("modes"), **rows("ratings")) | fields


def test_an_amplifier_keeps_gains_noise_and_mains(keeper):
    rating = {"mode": "per channel", "load_ohm": 8, "power_w": 500, "signal": "burst"}
    posted = amplifier_post(
        gain_db=32,
        gain_settings_db="38; 26, 32",
        third_power_w=900,
        peak_v=110,
        input_clip_dbu=21,
        output_noise_dbu=-68,
        output_noise_dbu_basis="measured",
        **rows("ratings", rating),
    )
    assert keeper.post("/catalogue/new/amplifier/", posted).status_code == 302
    amp = Amplifier.objects.get()
    assert amp.gain_settings_db == [26, 32, 38]
    assert (amp.third_power_w, amp.peak_v, amp.input_clip_dbu) == (900, 110, 21)
    assert amp.basis_of("output_noise_dbu") == "measured"
    assert amp.ratings.get().signal == "burst"
    page = keeper.get(reverse("catalogue:item", args=[amp.pk])).text
    assert "26, 32, 38 dB" in page
    assert "<td>burst</td>" in page
    assert 'value="26, 32, 38"' in keeper.get(reverse("catalogue:edit", args=[amp.pk])).text


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"gain_settings_db": "26, loud"}, "“loud” is no gain in dB. Write them as 26, 32, 38."),
        ({"gain_settings_db": "26, 32", "gain_db": "29"}, "not among the selectable ones"),
        ({"third_power_w": "200", "eighth_power_w": "300"}, "can&#x27;t take less from the mains"),
        ({"output_noise_dbu": "68"}, "Output noise in dBu above 10 is not believable."),
    ],
)
def test_an_amplifier_that_cannot_be_is_a_sentence(keeper, fields, sentence):
    page = keeper.post("/catalogue/new/amplifier/", amplifier_post(**fields))
    assert page.status_code == 422
    assert sentence in page.text
    for name, value in fields.items():
        assert f'name="{name}" value="{value}"' in page.text
    assert not Amplifier.objects.exists()


def test_a_mixer_is_kept_and_shown(keeper):
    posted = base(max_output_dbu=22, output_noise_dbu=-86, mass_kg="14.5")
    assert keeper.post("/catalogue/new/mixer/", posted).status_code == 302
    mixer = Mixer.objects.get()
    assert (mixer.kind, mixer.tracking) == ("mixer", "serial")
    page = keeper.get(reverse("catalogue:item", args=[mixer.pk])).text
    assert "22&nbsp;dBu" in page
    assert "output up to 22 dBu" in keeper.get("/catalogue/", {"kind": "mixer"}).text


def test_a_processor_keeps_where_it_clips_and_its_noise(keeper):
    posted = base(
        inputs=2, outputs=6, bessel_corner="unknown", max_input_dbu=20, output_noise_dbu="-88.5"
    )
    assert keeper.post("/catalogue/new/processor/", posted).status_code == 302
    box = Processor.objects.get()
    assert (box.max_input_dbu, box.output_noise_dbu) == (20, -88.5)
