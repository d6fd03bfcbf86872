"""The mains page: phases, the best plan, cables; bad input gets a sentence and loses nothing."""

import html

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from rigs.systems import actions
from rigs.systems.describe import describe
from rigs.systems.faults import NotSaved
from rigs.systems.models import AmplifierPlace, RackFeed
from tests import factories
from venues.models import Circuit, Supply

pytestmark = pytest.mark.django_db


@pytest.fixture
def mains(rig):
    """A three-phase generator and ten racks of 8 A each, all plugged into phase 1."""
    space = rig.event.space
    rig.supply = Supply.objects.create(
        space=space, name="Generator", phases=3, amps_per_phase=32, voltage_v=230, generator=True
    )
    amp = factories.amplifier(
        eighth_power_w=8 * 230 * 0.9, third_power_w=4000.0, idle_w=60.0, power_factor=0.9,
        inrush_a=20.0,
    )  # fmt: skip
    AmplifierPlace.objects.all().delete()
    for number in range(10):
        factories.amplifier_place(rig.event, amp, name=f"Amp {number}", rack=f"Rack {number}")
        RackFeed.objects.create(event=rig.event, rack=f"Rack {number}", supply=rig.supply, phase=1)
    return rig


def page(rig):
    return html.unescape(rig.client.get(rig.url("mains/")).content.decode())


def entries(rig, **changes):
    return {
        "seen": "1", "load": "rack:Rack 1", "supply": rig.supply.pk, "circuit": "", "phase": "",
        "cable": "", "length_m": "", "area_mm2": "",
    } | changes  # fmt: skip


def send(rig, **changes):
    return rig.client.post(rig.url("feeds/new/"), entries(rig, **changes))


def errors(response, field):
    return html.unescape(" ".join(response.context["form"].errors.get(field, [])))


def test_all_on_one_phase_is_told_and_the_best_plan_stands_beside(mains):
    shown = mains.client.get(mains.url("mains/")).context["supplies"][0]
    assert shown.phases[0].eighth == "80 A" and shown.phases[1].racks == "nothing"
    assert shown.result.best_highest_a == pytest.approx(32)
    text = page(mains)
    assert "✓ holds" not in text and 'data-state="fails"' in text
    assert "competent electrician" in text and "never lift an earth" in text
    assert "then wait" in text and "Switch off in the reverse order" in text


def test_one_tap_takes_the_plan_over(mains):
    shown = mains.client.get(mains.url("mains/")).context["supplies"][0]
    url = mains.url(f"mains/{mains.supply.pk}/plan/")
    mains.client.post(url, {"plan": shown.plan_text})
    phases = sorted(RackFeed.objects.values_list("phase", flat=True))
    assert [phases.count(n) for n in (1, 2, 3)] == [4, 3, 3]
    assert set(RackFeed.objects.values_list("changed_by", flat=True)) == {mains.tech.pk}
    assert "plugged as the best plan says" in page(mains)


def test_a_plan_that_is_old_is_not_taken(mains):
    shown = mains.client.get(mains.url("mains/")).context["supplies"][0]
    AmplifierPlace.objects.filter(name="Amp 9").delete()
    url = mains.url(f"mains/{mains.supply.pk}/plan/")
    response = mains.client.post(url, {"plan": shown.plan_text}, follow=True)
    assert "The rig changed while" in response.content.decode()
    assert set(RackFeed.objects.values_list("phase", flat=True)) == {1}


def test_a_plan_makes_cables_for_racks_that_have_none(mains):
    RackFeed.objects.all().delete()
    lone = AmplifierPlace.objects.get(name="Amp 0")
    lone.rack = ""
    lone.save()
    assert "Without a mains cable described" in page(mains)
    shown = mains.client.get(mains.url("mains/")).context["supplies"][0]
    mains.client.post(mains.url(f"mains/{mains.supply.pk}/plan/"), {"plan": shown.plan_text})
    assert RackFeed.objects.count() == 10
    assert RackFeed.objects.get(amplifier_place=lone).rack == ""


def test_a_socket_on_another_phase_is_let_go_by_the_plan(mains):
    circuit = Circuit.objects.create(
        space=mains.event.space, supply=mains.supply, name="Socket 1", phase=1
    )
    RackFeed.objects.filter(rack="Rack 3").update(circuit=circuit)
    actions.take_plan(mains.event, mains.supply, {"Rack 3": 2}, mains.tech)
    feed = RackFeed.objects.get(rack="Rack 3")
    assert (feed.phase, feed.circuit) == (2, None)


def test_a_cable_is_saved_and_its_drop_shown(mains):
    RackFeed.objects.filter(rack="Rack 1").delete()
    cable = factories.cable(use="mains", length_m=25.0, area_mm2=2.5)
    assert send(mains, phase="2", cable=cable.pk).url == mains.url("mains/")
    feed = RackFeed.objects.get(rack="Rack 1")
    assert (feed.phase, feed.cable, feed.changed_by) == (2, cable, mains.tech)
    shown = mains.client.get(mains.url("mains/")).context["feeds"]
    drop = next(each.drop for each in shown if each.result.rack == "Rack 1")
    assert drop != "unknown" and " V" in drop


def test_a_socket_gives_its_phase(mains):
    RackFeed.objects.filter(rack="Rack 1").delete()
    circuit = Circuit.objects.create(
        space=mains.event.space, supply=mains.supply, name="Socket 3", phase=3
    )
    assert send(mains, circuit=circuit.pk).status_code == 302
    assert RackFeed.objects.get(rack="Rack 1").phase == 3
    again = RackFeed.objects.get(rack="Rack 1")
    response = mains.client.post(
        mains.url(f"feeds/{again.pk}/"), entries(mains, circuit=circuit.pk, phase="1")
    )
    assert "Socket 3 is on phase 3, not on 1" in errors(response, "phase")


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"load": "rack:Rack 99"}, "load", "not one of the choices"),
        ({"load": ""}, "load", "Fill this in"),
        ({"supply": ""}, "supply", "Fill this in"),
        ({"phase": "4"}, "phase", "from 1 to 3"),
        ({"phase": "0"}, "phase", "from 1 to 3"),
        ({"phase": "two"}, "phase", "whole number"),
        ({"length_m": "-3"}, "length_m", "at least 0.1"),
        ({"length_m": "nan"}, "length_m", "Give a number"),
        ({"area_mm2": "9999"}, "area_mm2", "not believable"),
    ],
)
def test_bad_input_gets_a_sentence_and_stays(mains, changes, field, said):
    RackFeed.objects.filter(rack="Rack 1").delete()
    response = send(mains, **changes)
    assert response.status_code == 200 and said in errors(response, field)
    [(name, value)] = changes.items()
    assert response.context["form"][name].value() == value
    assert not RackFeed.objects.filter(rack="Rack 1").exists()


def test_phase_3_of_a_single_phase_supply(mains):
    RackFeed.objects.filter(rack="Rack 1").delete()
    wall = Supply.objects.create(space=mains.event.space, name="Wall", phases=1)
    response = send(mains, supply=wall.pk, phase="3")
    assert "Wall has one phase only; there is no phase 3" in errors(response, "phase")


def test_supplies_and_circuits_of_another_venue(mains):
    RackFeed.objects.filter(rack="Rack 1").delete()
    elsewhere = Supply.objects.create(space=factories.space(), name="Elsewhere", phases=3)
    circuit = Circuit.objects.create(space=elsewhere.space, supply=elsewhere, name="Far", phase=1)
    assert errors(send(mains, supply=elsewhere.pk), "supply")
    assert errors(send(mains, circuit=circuit.pk), "circuit")
    feed = RackFeed(event=mains.event, rack="Rack 1", supply=mains.supply, circuit=circuit)
    with pytest.raises(NotSaved, match="Far is not in"):
        actions.save_feed(feed, None, mains.tech)


def test_a_rack_is_fed_once(mains):
    assert "has its mains cable already" in errors(send(mains), "load")
    assert RackFeed.objects.filter(rack="Rack 1").count() == 1


def test_a_cable_or_figures_but_not_both(mains):
    RackFeed.objects.filter(rack="Rack 1").delete()
    cable = factories.cable(use="mains")
    response = send(mains, cable=cable.pk, length_m="20", area_mm2="2.5")
    assert "not both" in errors(response, "cable")


def test_a_feed_that_leads_nowhere_is_told_and_breaks_nothing(mains):
    mains.event.space = factories.space()
    mains.event.save()
    text = page(mains)
    assert "leads nowhere any more" in text and "Cannot check" not in text
    assert describe(mains.event).rack_feeds == ()


def test_a_supply_that_nobody_described(rig):
    assert "no supply described" in page(rig)


def test_the_database_forbids_what_cannot_be(mains):
    place = AmplifierPlace.objects.first()
    for broken in (
        {"rack": ""},
        {"amplifier_place": place},
        {"phase": 4},
        {"length_m": -1},
        {"area_mm2": 0},
        {"cable": factories.cable(use="mains"), "length_m": 5},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            RackFeed.objects.filter(rack="Rack 1").update(**broken)


def test_queries_do_not_grow_with_the_racks(mains):
    def count():
        with CaptureQueriesContext(connection) as seen:
            mains.client.get(mains.url("mains/"))
        return len(seen)

    few = count()
    for number in range(20, 40):
        factories.amplifier_place(mains.event, name=f"Amp {number}", rack=f"Rack {number}")
        RackFeed.objects.create(event=mains.event, rack=f"Rack {number}", supply=mains.supply)
    assert count() == few
