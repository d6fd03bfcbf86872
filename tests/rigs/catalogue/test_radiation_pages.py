"""Polars, measured balloons and responses on the pages of the catalogue."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from rigs.catalogue.directivity import Balloon
from rigs.catalogue.models import Loudspeaker, Way
from rigs.people import rights
from tests import factories
from tests.rigs.catalogue.test_pages import WAY, loudspeaker_post, rows
from tests.rigs.catalogue.test_polars import table
from tests.rigs.catalogue.test_transfer import sofa_file

pytestmark = pytest.mark.django_db
NEW = "/catalogue/new/loudspeaker/"


@pytest.fixture
def keeper(client):
    client.force_login(factories.person(rights.SYSTEM_TECH))
    return client


def way_post(files=(), **typed):
    return loudspeaker_post(**rows("ways", WAY | typed)) | {
        f"ways-0-{name}": SimpleUploadedFile(f"{name}.dat", content) for name, content in files
    }


def flat_balloon():
    row = (0.0,) * 37
    return Balloon((1000.0,), tuple(range(0, 360, 5)), tuple(range(0, 181, 5)), ((row,) * 72,))


def stored_way(**fields):
    box = factories.loudspeaker()
    way = box.ways.first() or Way(loudspeaker=box, name="LF")
    for name, value in fields.items():
        setattr(way, name, value)
    way.save()
    return way


def test_polars_and_a_response_are_kept_with_their_basis(keeper):
    typed = {"axis_text": "50, 90\n100, 96", "directivity_basis": "assumed"}
    answer = keeper.post(NEW, way_post([("polars_file", table().encode())], **typed))
    assert answer.status_code == 302
    way = Loudspeaker.objects.get().ways.get()
    assert way.radiation.horizontal.level_db[9] == (-9, -9)
    assert way.basis_of("directivity") == "assumed"
    assert way.axis.level_db == (90, 96)


def test_a_sofa_file_becomes_a_balloon(keeper, tmp_path):
    content = sofa_file(tmp_path / "heart.sofa")
    assert keeper.post(NEW, way_post([("transfer_file", content)])).status_code == 302
    way = Loudspeaker.objects.get().ways.get()
    assert way.radiation.file_name == "transfer_file.dat"
    page = keeper.get(f"/catalogue/{way.loudspeaker_id}/").text
    assert "Counted as a measured balloon" in page


@pytest.mark.parametrize(
    ("files", "typed", "sentence"),
    [
        ([], {"polars_text": table(planes="h")}, "The vertical plane: it is missing"),
        ([], {"axis_text": "50, 90\n40, 91"}, "frequencies must rise"),
        ([], {"axis_text": "Hz, dB\nfoo, bar"}, "No line of numbers is in it"),
        ([], {"polars_text": "# a remark alone"}, "so it is no table of polars"),
        ([("transfer_file", b"no such thing")], {}, "It is no netCDF-4 file"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_stays_typed(keeper, files, typed, sentence):
    page = keeper.post(NEW, way_post(files, **typed))
    assert page.status_code == 422
    assert sentence in page.text
    assert all(text.splitlines()[-1] in page.text for text in typed.values())
    assert not Loudspeaker.objects.exists()


def test_polars_and_a_file_at_once_are_refused(keeper, tmp_path):
    files = [("transfer_file", sofa_file(tmp_path / "heart.sofa"))]
    page = keeper.post(NEW, way_post(files, polars_text=table()))
    assert "a table of polars or a SOFA file, not both" in page.text


def test_a_measured_balloon_stays_until_somebody_removes_it(keeper):
    way = stored_way(directivity=flat_balloon().to_plain())
    url = f"/catalogue/{way.loudspeaker_id}/edit/"
    page = keeper.get(url)
    assert "A measured balloon with 1 bands is stored." in page.text
    form = page.context["lists"]["ways"].forms[0]
    form = type(form)(
        {f.html_name: f.value() or "" for f in form}, instance=way, prefix=form.prefix
    )
    assert form.is_valid(), form.errors
    assert form.instance.directivity["kind"] == "balloon"
    form.data["ways-0-forget_balloon"] = "on"
    again = type(form)(form.data, instance=way, prefix=form.prefix)
    assert again.is_valid()
    assert again.instance.directivity is None


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (
            {"directivity": None, "piston_diameter_m": None},
            "a smooth shape from the nominal angles",
        ),
        ({"piston_diameter_m": 0.3}, "a round piston in an endless baffle"),
    ],
)
def test_the_page_says_what_counts_and_draws_both_planes(keeper, fields, words):
    way = stored_way(coverage_h_deg=90, coverage_v_deg=50, low_hz=60, high_hz=18000, **fields)
    page = keeper.get(f"/catalogue/{way.loudspeaker_id}/?band=1000&band=8000&band=x").text
    assert words in page
    assert page.count('class="polar"') == 2
    first = page.split('class="polar"')[1].split("</svg>")[0]
    assert "1 kHz: " in first and "8 kHz: " in first and "2 kHz: " not in first


def test_an_all_round_balloon_has_an_index_of_nothing(keeper):
    way = stored_way(directivity=flat_balloon().to_plain(), low_hz=900, high_hz=1100)
    page = " ".join(keeper.get(f"/catalogue/{way.loudspeaker_id}/").text.split())
    assert '<th scope="row">1 kHz</th> <td class="number">0.0</td>' in page
    assert '<td class="number">all round</td>' in page


def test_a_way_of_unknown_directivity_says_so(keeper):
    way = stored_way(coverage_h_deg=None, coverage_v_deg=None, directivity=None)
    assert "Directivity unknown" in keeper.get(f"/catalogue/{way.loudspeaker_id}/").text
