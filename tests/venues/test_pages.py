"""Venues in the browser."""

from xml.etree import ElementTree

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from rigs.people import rights
from tests import factories
from venues.models import AudienceArea, Circuit, HangPoint, Space, Supply, Venue
from venues.pictures import Mark, Outline, plan

pytestmark = pytest.mark.django_db
SQUARE = "0, 0\n10, 0\n10, 10\n0, 10"


@pytest.fixture
def keeper(client):
    client.force_login(factories.person(rights.SYSTEM_TECH))
    return client


def area_post(**fields):
    return {
        "name": "Stalls",
        "kind": "audience",
        "corners": SQUARE,
        "floor_z_m": "0",
        "ear_height_m": "1.2",
        "rake_deg": "0",
        "rake_azimuth_deg": "0",
    } | fields


def new_area(client, space, **fields):
    return client.post(reverse("venues:part_new", args=[space.pk, "areas"]), area_post(**fields))


def test_an_area_is_saved_from_its_lines(keeper):
    space = factories.space()
    assert new_area(keeper, space).url == reverse("venues:venue", args=[space.venue_id])
    area = AudienceArea.objects.get()
    assert area.corners == [[0, 0], [10, 0], [10, 10], [0, 10]]
    assert area.ear_height_m == 1.2


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"corners": "0, 0\n10, 10\n10, 0\n0, 10"}, "side from corner 1 meets the side"),
        ({"corners": "0, 0\n10, 0"}, "at least three corners"),
        ({"corners": "0, 0\nten, 0\n5, 5"}, "Line 2, “ten, 0”"),
        ({"corners": ""}, "Fill this in."),
        ({"ear_height_m": "0.1"}, "Ears below 0.3 m?"),
        ({"rake_deg": "-3"}, "Give the rake as 0 or more"),
        ({"ear_height_m": "nan"}, "Give a number"),
    ],
)
def test_a_bad_area_is_a_sentence_and_stays_typed(keeper, fields, sentence):
    page = new_area(keeper, factories.space(), name="Upper circle", **fields)
    assert page.status_code == 422
    assert sentence in page.text
    assert "Upper circle" in page.text
    for typed in fields.values():
        assert typed in page.text
    assert not AudienceArea.objects.exists()


def test_a_name_stands_once_in_a_space(keeper):
    space = factories.space()
    new_area(keeper, space)
    assert "has an area of that name already" in new_area(keeper, space).text


def test_an_edit_shows_the_corners_as_lines(keeper):
    area = factories.area(corners=[[0, 0], [10.5, 0], [0, 10]])
    page = keeper.get(reverse("venues:part", args=["areas", area.pk])).text
    assert "0, 0\n10.5, 0\n0, 10" in page


def test_the_second_of_two_people_is_told_and_may_save_again(keeper):
    area = factories.area(name="Floor")
    url = reverse("venues:part", args=["areas", area.pk])
    seen = keeper.get(url).context["form"]["seen"].value()
    AudienceArea.objects.update(ear_height_m=1.7)
    page = keeper.post(url, area_post(name="Mine", seen=seen))
    assert page.status_code == 422
    assert "Somebody else changed this" in page.text
    assert 'value="Mine"' in page.text
    assert AudienceArea.objects.get().name == "Floor"
    again = page.context["form"]["seen"].value()
    assert again != seen
    assert keeper.post(url, area_post(name="Mine", seen=again)).status_code == 302
    assert AudienceArea.objects.get().name == "Mine"


def test_venue_space_supply_and_hang_point_are_made(keeper):
    keeper.post("/venues/new/", {"name": "Old Mill", "town": "Ford", "zone": "Europe/Lisbon"})
    venue = Venue.objects.get()
    keeper.post(reverse("venues:space_new", args=[venue.pk]), {"name": "Barn", "indoors": "on"})
    space = Space.objects.get()
    assert (space.indoors, space.volume_m3) == (True, None)
    keeper.post(
        reverse("venues:part_new", args=[space.pk, "supplies"]),
        {"name": "Wall", "phases": "3", "amps_per_phase": "32"},
    )
    keeper.post(
        reverse("venues:part_new", args=[space.pk, "hang-points"]),
        {"name": "Beam", "x_m": "1", "y_m": "2", "z_m": "5"},
    )
    page = keeper.get(reverse("venues:venue", args=[venue.pk])).text
    assert Supply.objects.get().voltage_v is None
    assert HangPoint.objects.get().limit_kg is None
    assert "voltage unknown" in page
    assert "limit unknown" in page
    assert "Rigwright approves no rigging" in page


def test_a_zone_that_does_not_exist_is_a_sentence(keeper):
    page = keeper.post("/venues/new/", {"name": "Old Mill", "zone": "Moon/Base"})
    assert "Moon/Base is not a time zone" in page.text
    assert 'value="Old Mill"' in page.text


def test_a_space_where_events_take_place_stays(keeper):
    event = factories.event()
    url = reverse("venues:space_remove", args=[event.space_id])
    assert keeper.get(url).status_code == 405
    page = keeper.post(url, follow=True)
    assert "events take place there" in page.text
    assert Space.objects.exists()


def test_an_area_can_be_removed(keeper):
    area = factories.area()
    keeper.post(reverse("venues:part_remove", args=["areas", area.pk]))
    assert not AudienceArea.objects.exists()


# --- circuits --------------------------------------------------------------------------------


def supply(space, **fields):
    return Supply.objects.create(space=space, **{"name": "Stage", "phases": 3} | fields)


def new_circuit(client, space, **fields):
    url = reverse("venues:part_new", args=[space.pk, "circuits"])
    return client.post(url, {"name": "Stage 1", "phase": "2", "breaker_a": "16"} | fields)


def test_a_circuit_is_made_and_stands_in_the_table(keeper):
    space = factories.space()
    stage = supply(space)
    assert new_circuit(keeper, space, supply=stage.pk).status_code == 302
    assert new_circuit(
        keeper, space, name="Old socket", supply=stage.pk, phase="", breaker_a=""
    ).status_code == 302  # fmt: skip
    known, unknown = Circuit.objects.order_by("pk")
    assert (known.phase, known.breaker_a) == (2, 16)
    assert (unknown.phase, unknown.breaker_a) == (None, None)
    page = " ".join(keeper.get(reverse("venues:venue", args=[space.venue_id])).text.split())
    row = '<th scope="row">Stage 1</th> <td>Stage</td> <td>L2</td> <td class="number">16 A</td>'
    assert row in page
    assert '<td>unknown</td> <td class="number">unknown</td>' in page


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"phase": "2"}, "Wall has a single phase; there is no L2 on it."),
        ({"phase": "4"}, "4 is not one of the choices"),
        ({"phase": "1", "breaker_a": "0"}, "A breaker below 0.5 A is not believable."),
        ({"phase": "1", "breaker_a": "many"}, "Give a number"),
        ({"phase": "1", "supply": ""}, "Fill this in."),
    ],
)
def test_a_circuit_that_cannot_be_is_a_sentence_and_stays_typed(keeper, fields, sentence):
    space = factories.space()
    wall = supply(space, name="Wall", phases=1)
    page = new_circuit(keeper, space, **{"name": "By the door", "supply": wall.pk} | fields)
    assert page.status_code == 422
    assert sentence in page.text
    assert 'value="By the door"' in page.text
    assert f'value="{fields.get("breaker_a", "16")}"' in page.text
    assert not Circuit.objects.exists()


def test_a_circuit_hangs_on_a_supply_of_its_own_space(keeper):
    elsewhere = supply(factories.space())
    page = new_circuit(keeper, factories.space(), supply=elsewhere.pk)
    assert page.status_code == 422
    assert "This choice is gone" in page.text
    with pytest.raises(ValidationError, match="is not in"):
        Circuit(space=factories.space(), supply=elsewhere, name="C").full_clean()


def test_a_circuits_name_stands_once_in_a_space(keeper):
    space = factories.space()
    new_circuit(keeper, space, supply=supply(space).pk)
    again = new_circuit(keeper, space, supply=supply(space, name="Other").pk)
    assert "has a circuit of that name already" in again.text
    assert Circuit.objects.count() == 1


def test_a_supply_keeps_the_phases_that_its_circuits_hang_on(keeper):
    space = factories.space()
    stage = supply(space)
    Circuit.objects.create(space=space, supply=stage, name="Stage 3", phase=3)
    url = reverse("venues:part", args=["supplies", stage.pk])
    seen = keeper.get(url).context["form"]["seen"].value()
    page = keeper.post(url, {"name": "Stage", "phases": "1", "seen": seen})
    assert "Circuit Stage 3 hangs on L3: change that one first." in page.text
    assert Supply.objects.get().phases == 3


def test_a_circuit_is_edited_and_removed(keeper):
    space = factories.space()
    circuit = Circuit.objects.create(space=space, supply=supply(space), name="Stage 3", phase=3)
    url = reverse("venues:part", args=["circuits", circuit.pk])
    seen = keeper.get(url).context["form"]["seen"].value()
    typed = {"name": "Stage 3", "supply": circuit.supply_id, "phase": "", "breaker_a": "10"}
    assert keeper.post(url, typed | {"seen": seen}).status_code == 302
    circuit.refresh_from_db()
    assert (circuit.phase, circuit.breaker_a) == (None, 10)
    keeper.post(reverse("venues:part_remove", args=["circuits", circuit.pk]))
    assert not Circuit.objects.exists()


def test_the_database_refuses_a_fourth_phase():
    space = factories.space()
    with pytest.raises(IntegrityError), transaction.atomic():
        Circuit.objects.create(space=space, supply=supply(space), name="C", phase=4)


def test_an_unknown_part_is_no_page(keeper):
    assert keeper.get(f"/venues/spaces/{factories.space().pk}/dragons/new/").status_code == 404


def test_crew_read_but_see_no_buttons(client):
    client.force_login(factories.person(rights.CREW))
    area = factories.area()
    page = client.get(reverse("venues:venue", args=[area.space.venue_id])).text
    assert area.name in page
    assert "Add an audience area" not in page


def test_list_and_venue_page_need_constant_queries(keeper):
    venue = factories.venue()

    def more(count):
        for number in range(count):
            space = factories.space(venue=venue, name=f"{count} {number}")
            factories.area(space=space)
            Circuit.objects.create(space=space, supply=supply(space), name="C")
            factories.space()

    def used(url):
        with CaptureQueriesContext(connection) as queries:
            assert keeper.get(url).status_code == 200
        return len(queries)

    page = reverse("venues:venue", args=[venue.pk])
    more(1)
    few = used("/venues/"), used(page)
    more(50)
    assert (used("/venues/"), used(page)) == few


# --- the drawing -----------------------------------------------------------------------------


def drawn(*areas, marks=()):
    return ElementTree.fromstring(plan("Hall", areas, marks))


SVG = "{http://www.w3.org/2000/svg}"


def test_the_plan_can_be_read_and_escapes_names():
    root = drawn(
        Outline("<Stalls> & more", [(0, 0), (10, 0), (10, 10)]), marks=[Mark("H1", (1, 2))]
    )
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Plan of Hall"
    assert "<Stalls> & more: 3 corners, 50 m²" in root.find(f"{SVG}desc").text
    assert "H1 at x 1 m, y 2 m" in root.find(f"{SVG}desc").text
    assert not any("style" in part.attrib for part in root.iter())


def test_the_plan_keeps_proportions_and_has_the_stage_below():
    root = drawn(Outline("Floor", [(-10, 5), (10, 5), (10, 15), (-10, 15)]))
    points = [
        tuple(map(float, point.split(",")))
        for point in root.find(f"{SVG}polygon").get("points").split()
    ]
    (x1, y1), (x2, y2), (_, y3), _ = points
    assert y1 == y2 > y3  # nearer to the stage lies lower on the page
    assert x2 > x1
    assert (x2 - x1) == pytest.approx(2 * (y2 - y3), rel=1e-2)
    width, height = (float(v) for v in root.get("viewBox").split()[2:])
    assert all(0 <= x <= width and 0 <= y <= height for x, y in points)
