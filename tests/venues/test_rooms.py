"""Rooms by octaves, surfaces as lines, places of ears, stages and sections."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from rigs.people import rights
from tests import factories
from venues.models import AudienceArea, ListeningPlace, RoomSurface, Space
from venues.pictures import Mark, Outline, section
from venues.rake import floor_heights_m
from venues.surface_lines import read_surfaces, write_surfaces

SEVEN = [1.9, 1.8, 1.6, None, 1.5, 1.2, 0.9]
LINES = "Floor; 360; 0,36; 0,5; 0,6; 0,7; 0,7; 0,7; 0,6\nCurtain; ; 0.1"


@pytest.fixture
def keeper(client):
    client.force_login(factories.person(rights.SYSTEM_TECH))
    return client


def space_post(**octaves):
    return {"name": "Hall", "indoors": "on", "volume_m3": "5000"} | octaves


@pytest.mark.django_db
def test_decay_and_noise_are_kept_by_octaves(keeper):
    venue = factories.venue()
    new = reverse("venues:space_new", args=[venue.pk])
    answer = keeper.post(new, space_post(decay_s_125="1,9", decay_s_8000="0.9", noise_db_500="38"))
    assert answer.status_code == 302
    space = Space.objects.get()
    assert space.decay_s == [1.9, None, None, None, None, None, 0.9]
    assert space.noise_db[2] == 38
    page = keeper.get(reverse("venues:venue", args=[venue.pk])).text
    assert "Decay, s, measured" in page


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"decay_s_500": "long"}, "500 Hz: “long” is no number."),
        ({"decay_s_1000": "99"}, "1 kHz: 99 s is not believable; it lies from 0.05 to 30."),
        ({"noise_db_125": "nan"}, "125 Hz: this is no number."),
    ],
)
def test_octaves_that_cannot_be_are_sentences_and_stay(keeper, typed, sentence):
    page = keeper.post(
        reverse("venues:space_new", args=[factories.venue().pk]), space_post(**typed)
    )
    assert page.status_code == 422
    assert sentence in page.text
    assert f'value="{next(iter(typed.values()))}"' in page.text


@pytest.mark.django_db
@pytest.mark.parametrize(
    "fields",
    [
        {"decay_s": [1.0]},
        {"decay_s": [0.0] * 7},
        {"decay_s": [float("nan")] * 7},
        {"noise_db": [200.0, *[None] * 6]},
    ],
)
def test_the_database_refuses_what_no_room_has(fields):
    space = factories.space(decay_s=SEVEN)
    with pytest.raises(IntegrityError), transaction.atomic():
        Space.objects.filter(pk=space.pk).update(**fields)
    assert Space.objects.get().decay_s == SEVEN


@pytest.mark.django_db
def test_the_database_refuses_impossible_surfaces_places_and_kinds():
    space = factories.space()
    for row in (
        RoomSurface(space=space, name="a", absorption=[1.2, *[None] * 6]),
        RoomSurface(space=space, name="b", area_m2=-1),
        ListeningPlace(space=space, name="c", x_m=0, y_m=0, z_m=1, hours=25),
        ListeningPlace(space=space, name="d", x_m=0, y_m=0, z_m=1, kind="ghost"),
        AudienceArea(space=space, name="e", corners=[[0, 0], [1, 0], [1, 1]], kind="moat"),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            row.save()


@pytest.mark.django_db
def test_surfaces_are_replaced_as_a_whole(keeper):
    space = factories.space()
    url = reverse("venues:surfaces", args=[space.pk])
    seen = keeper.get(url).context["form"]["seen"].value()
    assert keeper.post(url, {"lines": LINES, "seen": seen}).status_code == 302
    floor, curtain = RoomSurface.objects.order_by("-name")
    assert (floor.area_m2, floor.absorption[0]) == (360, 0.36)
    assert (curtain.area_m2, curtain.absorption) == (None, [0.1, *[None] * 6])
    clash = keeper.post(url, {"lines": "Wall; 10", "seen": seen})
    assert clash.status_code == 422
    assert "Somebody else changed this" in clash.text
    assert RoomSurface.objects.count() == 2
    now = clash.context["form"]["seen"].value()
    assert keeper.post(url, {"lines": "Wall; 10", "seen": now}).status_code == 302
    assert RoomSurface.objects.get().absorption == []


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("Floor; 360; 0.1; x", "Line 1: “x” is no number"),
        ("Floor; 1\nfloor; 2", "Line 2: this surface stands above already."),
        ("Floor; -4", "an area of -4 m² is not believable"),
        ("Floor; 4; 1.5", "125 Hz: 1.5 is not believable"),
        ("; 4; 0.5", "write name; area"),
        ("Surface; area; 125 Hz", "write name; area"),
        ("surface; area\nwall; big", "No surface stands here: write name; area"),
        ("Floor; 1; 2; 3; 4; 5; 6; 7; 8; 9", "write name; area"),
    ],
)
def test_a_surface_that_cannot_be_is_a_sentence(text, sentence):
    with pytest.raises(ValidationError) as refused:
        read_surfaces(text)
    assert sentence in " ".join(refused.value.messages)


cells = st.sampled_from(["Floor", "Wall", "0.5", "0,5", "12", "-1", "1e999", "nan", "", "x;"])
lines = st.lists(st.lists(cells, max_size=9).map("; ".join), max_size=20).map("\n".join)


@given(st.text(max_size=200) | lines)
def test_any_text_is_surfaces_or_sentences(text):
    try:
        rows = read_surfaces(text)
    except ValidationError as refused:
        assert all(said.endswith(".") for said in refused.messages)
    else:
        surfaces = [
            RoomSurface(name=r.name, area_m2=r.area_m2, absorption=r.absorption) for r in rows
        ]
        assert [r.area_m2 for r in read_surfaces(write_surfaces(surfaces))] == [
            r.area_m2 for r in rows
        ]


def area_post(**fields):
    return {
        "name": "Stalls", "kind": "audience", "corners": "0, 0\n10, 0\n10, 10\n0, 10",
        "floor_z_m": "0", "ear_height_m": "1.6", "rake_deg": "0", "rake_azimuth_deg": "0",
    } | fields  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "height"),
    [
        ({"people": "seated"}, 1.2),
        ({"people": "seated", "ear_height_m": "1.15"}, 1.15),
        ({"people": "standing"}, 1.6),
        ({"people": "standing", "ear_height_m": ""}, 1.6),
        ({"people": "other", "ear_height_m": "1.7"}, 1.7),
    ],
)
def test_seated_and_standing_have_usual_heights_that_may_be_changed(keeper, typed, height):
    url = reverse("venues:part_new", args=[factories.space().pk, "areas"])
    assert keeper.post(url, area_post(**typed)).status_code == 302
    assert AudienceArea.objects.get().ear_height_m == height


@pytest.mark.django_db
def test_no_height_at_all_is_asked_for(keeper):
    url = reverse("venues:part_new", args=[factories.space().pk, "areas"])
    page = keeper.post(url, area_post(people="other", ear_height_m=""))
    assert "Write the ear height, or choose seated or standing." in page.text


@pytest.mark.django_db
def test_a_place_is_kept_and_shown(keeper):
    space = factories.space()
    typed = {"name": "Mixing position", "kind": "crew", "x_m": "1", "y_m": "18", "z_m": "1.3"}
    url = reverse("venues:part_new", args=[space.pk, "places"])
    assert keeper.post(url, typed | {"hours": "4"}).status_code == 302
    page = keeper.get(reverse("venues:venue", args=[space.venue_id])).text
    assert "there 4 h a day" in page
    assert "place Mixing position at x 1 m, y 18 m" in page
    assert "place Mixing position at y 18 m, height 1.3 m" in page
    late = keeper.post(url, typed | {"name": "Bar", "hours": "30"})
    assert "More than 24 hours is not believable." in late.text


def test_a_rake_rises_from_its_lowest_corner():
    block = [(0, 10), (8, 10), (8, 20), (0, 20)]
    assert floor_heights_m(block, 4, 45, 0) == pytest.approx([4, 4, 14, 14])
    assert floor_heights_m(block, 4, 45, 90) == pytest.approx([4, 12, 12, 4])
    assert floor_heights_m([], 4, 45, 0) == []


def test_a_section_tells_floors_ears_and_places():
    areas = [
        Outline("Balcony", [(0, 10), (8, 10), (8, 20), (0, 20)], 4, 45, 0, 1.2),
        Outline("Stage", [(0, -5), (8, -5), (8, 0), (0, 0)], 1, kind="stage"),
    ]
    svg = section("Hall", areas, [Mark("Bar", (0, 5), 8)])
    assert "Balcony: floor from 4 to 14 m, ears 1.2 m above it" in svg
    assert "hang point Bar at y 5 m, height 8 m" in svg
    assert svg.count("plan-of-stage") == 2  # floor and ears
    assert "style=" not in svg
