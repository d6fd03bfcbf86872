"""Placements, amplifiers and processors through their pages."""

import pytest

from rigs.events.models import KitRow, UnitBooking
from rigs.systems.models import AmplifierPlace, Placement
from tests import factories

pytestmark = pytest.mark.django_db


def placement(rig, **changes):
    return {
        "seen": "1",
        "name": "Sub 1",
        "loudspeaker": rig.box.loudspeaker.pk,
        "unit": "",
        "x_m": "1.5",
        "y_m": "0",
        "z_m": "0.5",
        "azimuth_deg": "0",
        "tilt_deg": "0",
    } | changes


def errors(response, field):
    return " ".join(response.context["form"].errors.get(field, []))


def booked(event, unit):
    row, _ = KitRow.objects.get_or_create(event=event, item=unit.item, defaults={"quantity": 1})
    UnitBooking.objects.create(row=row, unit=unit, period=(event.out_at, event.back_at))
    return unit


def test_a_placement_is_saved(rig):
    unit = booked(rig.event, factories.unit(rig.box.loudspeaker))
    response = rig.client.post(rig.url("placements/new/"), placement(rig, unit=unit.pk))
    assert response.status_code == 302
    made = Placement.objects.get(name="Sub 1")
    assert (made.unit, made.x_m, made.changed_by) == (unit, 1.5, rig.tech)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("x_m", "4000"),
        ("y_m", "-1e9"),
        ("z_m", "900"),
        ("x_m", "inf"),
        ("tilt_deg", "200"),
        ("azimuth_deg", "1000"),
        ("z_m", "up there"),
        ("name", ""),
        ("name", "n" * 41),
        ("loudspeaker", ""),
    ],
)
def test_absurd_entries_are_said_by_their_field(rig, field, value):
    response = rig.client.post(rig.url("placements/new/"), placement(rig, **{field: value}))
    assert response.status_code == 200
    assert errors(response, field)
    if value:
        assert f'value="{value}"' in response.content.decode()
    assert Placement.objects.count() == 1


def test_a_unit_of_another_type(rig):
    other = booked(rig.event, factories.unit(factories.loudspeaker()))
    response = rig.client.post(rig.url("placements/new/"), placement(rig, unit=other.pk))
    assert f"{other} is not a {rig.box.loudspeaker}" in errors(response, "unit")


def test_a_unit_that_stands_elsewhere(rig):
    rig.box.unit = booked(rig.event, factories.unit(rig.box.loudspeaker))
    rig.box.save()
    response = rig.client.post(rig.url("placements/new/"), placement(rig, unit=rig.box.unit.pk))
    assert "stands elsewhere in the rig already" in errors(response, "unit")


def test_a_name_twice(rig):
    response = rig.client.post(rig.url("placements/new/"), placement(rig, name="Top left"))
    assert "a placement of that name already" in errors(response, "name")


def test_two_people_saving_at_once(rig):
    url = rig.url(f"placements/{rig.box.pk}/")
    rig.client.post(url, placement(rig, name="Top left", x_m="2"))
    response = rig.client.post(url, placement(rig, name="Top left", x_m="3"))
    form = response.context["form"]
    assert "changed this at" in " ".join(form.non_field_errors())
    assert 'value="3"' in response.content.decode()
    assert [(label, value) for label, value in form.theirs] == [("X in m", "2.0")]
    rig.box.refresh_from_db()
    assert rig.box.x_m == 2


def test_a_driven_box_keeps_its_type(rig):
    rig.line(name="Tops")
    other = factories.loudspeaker()
    response = rig.client.post(
        rig.url(f"placements/{rig.box.pk}/"),
        placement(rig, name="Top left", loudspeaker=other.pk),
    )
    assert "Drive line Tops drives Top left" in errors(response, "loudspeaker")


def test_an_amplifier_keeps_the_channels_that_lines_use(rig):
    rig.line(name="Tops", first_channel=2)
    small = factories.amplifier(channels=1)
    response = rig.client.post(
        rig.url(f"amplifiers/{rig.amp.pk}/"),
        {"seen": "1", "name": "Amp A", "rack": "", "amplifier": small.pk, "unit": ""},
    )
    assert "Tops uses channel 2" in errors(response, "amplifier")


@pytest.mark.parametrize("kind", ["placement", "amplifier", "processor"])
def test_what_a_line_needs_is_not_removed(rig, kind):
    rig.line(name="Tops", processor_place=rig.processor, output=1)
    row = {"placement": rig.box, "amplifier": rig.amp, "processor": rig.processor}[kind]
    response = rig.client.post(rig.url(f"{kind}s/{row.pk}/remove/"), {"seen": "1"})
    assert f"{row} is on drive line Tops" in response.content.decode()
    assert type(row).objects.filter(pk=row.pk).exists()


def test_what_nothing_needs_is_removed(rig):
    response = rig.client.post(rig.url(f"amplifiers/{rig.amp.pk}/remove/"), {"seen": "1"})
    assert response.status_code == 302
    assert not AmplifierPlace.objects.exists()


def several(rig, **changes):
    return {
        "loudspeaker": rig.box.loudspeaker.pk,
        "count": "4",
        "stem": "Sub",
        "first_number": "1",
        "x_m": "-1.8",
        "y_m": "1",
        "z_m": "0.5",
        "spacing_m": "1.2",
        "direction_deg": "90",
        "azimuth_deg": "0",
        "tilt_deg": "0",
    } | changes


def test_a_row_of_boxes(rig):
    assert rig.client.post(rig.url("placements/several/"), several(rig)).status_code == 302
    made = Placement.objects.filter(name__startswith="Sub").order_by("name")
    assert [(box.name, box.x_m, box.y_m) for box in made] == [
        ("Sub 1", -1.8, 1),
        ("Sub 2", -0.6, 1),
        ("Sub 3", 0.6, 1),
        ("Sub 4", 1.8, 1),
    ]


def test_a_row_is_placed_whole_or_not_at_all(rig):
    factories.placement(rig.event, name="Sub 3")
    response = rig.client.post(rig.url("placements/several/"), several(rig))
    assert "Sub 3: This event has a placement of that name" in errors(response, "stem")
    assert Placement.objects.filter(name__startswith="Sub").count() == 1


def test_a_row_that_leaves_the_field(rig):
    response = rig.client.post(
        rig.url("placements/several/"), several(rig, x_m="900", spacing_m="100")
    )
    assert "Further than 1000 m away?" in errors(response, "x_m")
    assert Placement.objects.count() == 1
