"""Weights: sums against marked limits, unknown never zero, no rigging approved."""

import html

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from rigs.systems.describe import describe
from rigs.systems.models import ExtraLoad, Support
from tests import factories
from venues.models import HangPoint

pytestmark = pytest.mark.django_db


@pytest.fixture
def point(rig):
    return HangPoint.objects.create(
        space=rig.event.space, name="P1", x_m=0, y_m=0, z_m=6, limit_kg=50
    )


def support(rig, **fields):
    return Support.objects.create(
        **{"event": rig.event, "name": "Stand 1", "kind": "stand"} | fields
    )


def page(rig):
    return html.unescape(rig.client.get(rig.url("weights/")).content.decode())


def shown(rig):
    return {s.row.name: s for s in rig.client.get(rig.url("weights/")).context["supports"]}


def entries(**changes):
    return {"seen": "1", "name": "Truss", "kind": "stand", "limit_kg": ""} | changes


def send(rig, **changes):
    return rig.client.post(rig.url("supports/new/"), entries(**changes))


def errors(response, field):
    return " ".join(response.context["form"].errors.get(field, []))


def test_boxes_and_extra_loads_add_up_against_the_venues_limit(rig, point):
    truss = support(rig, name="Truss left", kind="hang point", hang_point=point)
    rig.box.support = truss
    rig.box.save()
    ExtraLoad.objects.create(event=rig.event, support=truss, name="Chain", mass_kg=12.5)
    found = shown(rig)["Truss left"]
    assert (found.total, found.limit) == ("22.5 kg", "50 kg")
    assert found.finding.shown.finding.state == "holds"
    assert "approves no rigging" in page(rig) and "Chain" in page(rig)


def test_too_much_fails_and_can_be_overridden_only_by_name(rig, point):
    truss = support(rig, kind="hang point", hang_point=point)
    ExtraLoad.objects.create(event=rig.event, support=truss, name="Piano", mass_kg=300)
    found = shown(rig)["Stand 1"]
    assert found.finding.shown.finding.state == "fails"
    assert "Override this" in page(rig)


def test_an_unknown_weight_or_limit_is_never_a_pass(rig):
    stand = support(rig, limit_kg=40)
    ExtraLoad.objects.create(event=rig.event, support=stand, name="Old box", mass_kg=None)
    found = shown(rig)["Stand 1"]
    assert found.finding.shown.finding.state == "cannot check"
    assert found.total == "0 kg and 1 unknown"
    Support.objects.update(limit_kg=None)
    ExtraLoad.objects.update(mass_kg=1)
    assert shown(rig)["Stand 1"].finding.shown.finding.state == "cannot check"


def test_the_lowest_marked_limit_counts(rig, point):
    kind = factories.accessory(carries_kg=30.0)
    assert support(rig, accessory=kind, limit_kg=80).marked_kg() == 30
    row = support(rig, name="P", kind="hang point", hang_point=point, limit_kg=20)
    assert row.marked_kg() == 20


def test_the_truck_that_carries_the_kit_list(rig):
    support(rig, name="Truck", kind="truck", limit_kg=1000, carries_kit=True)
    rig.event.kit.create(item=factories.accessory(mass_kg=4.0), quantity=10)
    assert shown(rig)["Truck"].total == "40 kg"
    rig.event.kit.create(item=factories.accessory(mass_kg=None), quantity=2)
    found = shown(rig)["Truck"]
    assert found.finding.shown.finding.state == "cannot check"
    assert any("2 of unknown weight" in load for load in found.loads)


def test_a_hang_point_of_a_space_that_the_event_left(rig, point):
    support(rig, name="Truss", kind="hang point", hang_point=point)
    rig.event.space = factories.space()
    rig.event.save()
    found = shown(rig)["Truss"]
    assert found.limit == "not marked" and "its limit is not counted" in found.limit_source


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"name": ""}, "name", "Fill this in"),
        ({"kind": "rope"}, "kind", "not one of the choices"),
        ({"limit_kg": "-5"}, "limit_kg", "at least 0.1"),
        ({"limit_kg": "inf"}, "limit_kg", "Give a number"),
        ({"carries_kit": "on"}, "carries_kit", "Only a truck"),
    ],
)
def test_bad_input_gets_a_sentence(rig, changes, field, said):
    response = send(rig, **changes)
    assert response.status_code == 200 and said in errors(response, field)
    assert not Support.objects.exists()


def test_the_hang_point_of_another_venue_or_twice(rig, point):
    far = HangPoint.objects.create(space=factories.space(), name="Far", x_m=0, y_m=0, z_m=6)
    assert errors(send(rig, kind="hang point", hang_point=far.pk), "hang_point")
    assert "Only a hang point" in errors(send(rig, hang_point=point.pk), "hang_point")
    assert send(rig, kind="hang point", hang_point=point.pk).status_code == 302
    again = send(rig, name="Again", kind="hang point", hang_point=point.pk)
    assert "in the rig already" in errors(again, "hang_point")


def test_loads_of_another_event_and_absurd_masses(rig):
    stand = support(rig)
    other = Support.objects.create(event=factories.event(), name="Far", kind="stand")
    url = rig.url("loads/new/")
    data = {"seen": "1", "support": stand.pk, "name": "Chain", "mass_kg": "5"}
    assert errors(rig.client.post(url, data | {"support": other.pk}), "support")
    assert errors(rig.client.post(url, data | {"mass_kg": "0"}), "mass_kg")
    assert rig.client.post(url, data).url == rig.url("weights/")
    assert "of that name already" in errors(rig.client.post(url, data), "name")


def test_removing_a_support_leaves_its_boxes(rig):
    stand = support(rig)
    rig.box.support = stand
    rig.box.save()
    rig.client.post(rig.url(f"supports/{stand.pk}/remove/"), {"seen": "1"})
    rig.box.refresh_from_db()
    assert rig.box.support is None


def test_names_are_escaped(rig):
    support(rig, name="<script>'&\"")
    text = rig.client.get(rig.url("weights/")).content.decode()
    assert "<script>'" not in text and "&lt;script&gt;" in text


@pytest.mark.parametrize(
    "broken",
    [{"limit_kg": 0}, {"carries_kit": True}, {"limit_kg": -4.0}],
)
def test_the_database_forbids_what_cannot_be(rig, broken):
    support(rig)
    with pytest.raises(IntegrityError), transaction.atomic():
        Support.objects.update(**broken)


def test_queries_do_not_grow_with_the_supports(rig):
    def count():
        with CaptureQueriesContext(connection) as seen:
            rig.client.get(rig.url("weights/"))
        return len(seen)

    first = support(rig)
    ExtraLoad.objects.create(event=rig.event, support=first, name="Chain", mass_kg=1)
    few = count()
    for number in range(12):
        row = support(rig, name=f"S{number}")
        ExtraLoad.objects.create(event=rig.event, support=row, name="Chain", mass_kg=1)
    assert count() == few
    assert len(describe(rig.event).extra_loads) == 13
