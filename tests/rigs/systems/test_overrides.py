"""Overrides: named, reasoned, expiring, and for overload and mains signed by two people."""

import html
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from rigs.people.rights import CREW, MANAGER, SYSTEM_TECH
from rigs.systems import actions
from rigs.systems.describe import checked_lines, describe
from rigs.systems.faults import NotSaved
from rigs.systems.models import Override
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def soon(rig):
    """The event lies ahead, a line of it loses too much in its cable and overloads."""
    now = timezone.now().replace(microsecond=0)
    event = rig.event
    for field, hours in (
        ("out_at", 1), ("load_in_at", 4), ("show_from", 8), ("show_until", 12), ("back_at", 20)
    ):  # fmt: skip
        setattr(event, field, now + timedelta(hours=hours))
    event.save()
    thin = factories.cable(length_m=60.0, area_mm2=1.5)
    boxes = [factories.placement(event, rig.box.loudspeaker, name=f"Box {n}") for n in range(3)]
    rig.overloaded = factories.line(event, *boxes, amp=rig.amp, run=thin, name="Tops")
    return rig


def finding(rig, check):
    result = checked_lines(describe(rig.event)).results["Tops"]
    return next(each for each in result.findings if each.check == check)


def give(rig, check, person=None, reason="Checked with the maker", **more):
    return actions.give_override(rig.event, finding(rig, check), person or rig.tech, reason, **more)


def page(rig):
    return html.unescape(rig.client.get(rig.url(f"lines/{rig.overloaded.pk}/")).content.decode())


def url(rig, check="cable_loss", subject="Tops"):
    return rig.url(f"overrides/new/?subject={subject}&check={check}")


def send(rig, check="cable_loss", **changes):
    data = {"seen": finding(rig, check).sentence, "reason": "Speech only", "expires_at": ""}
    return rig.client.post(url(rig, check), data | changes)


def test_an_override_stands_beside_its_finding_and_changes_no_figure(soon):
    before = finding(soon, "cable_loss")
    assert before.state == "fails"
    assert send(soon).url == soon.url(f"lines/{soon.overloaded.pk}/")
    stored = Override.objects.get()
    assert (stored.person, stored.expires_at) == (soon.tech, soon.event.back_at)
    shown = page(soon)
    assert f"Overridden by {soon.tech} until" in shown and "Speech only" in shown
    assert finding(soon, "cable_loss") == before
    assert 'data-state="fails"' in shown


@pytest.mark.parametrize("check", ["load"])
def test_overload_is_not_in_force_before_a_second_person(soon, check, client):
    override = give(soon, check)
    assert override.needs_second
    assert "not in force before a second person confirms it" in page(soon)
    assert "Confirm as the second person" not in page(soon)  # who gave it cannot

    other = factories.person(MANAGER)
    soon.client.force_login(other)
    assert "Confirm as the second person" in page(soon)
    response = soon.client.post(soon.url(f"overrides/{override.pk}/confirm/"))
    assert response.url == soon.url(f"lines/{soon.overloaded.pk}/")
    assert f"Overridden by {soon.tech} and {other} until" in page(soon)


def test_a_loss_in_the_cable_needs_one_person_only(soon):
    assert not give(soon, "cable_loss").needs_second
    assert f"Overridden by {soon.tech} until" in page(soon)


def test_the_same_person_twice_is_refused_by_page_and_database(soon):
    override = give(soon, "load")
    response = soon.client.post(soon.url(f"overrides/{override.pk}/confirm/"), follow=True)
    assert "a second, different person must confirm" in html.unescape(response.content.decode())
    override.refresh_from_db()
    assert override.second_person is None
    override.second_person, override.second_at = override.person, timezone.now()
    with pytest.raises(IntegrityError), transaction.atomic():
        override.save()


def test_the_second_person_needs_the_right(soon):
    override = give(soon, "load")
    crew = factories.person(CREW)
    with pytest.raises(NotSaved, match="may describe rigs"):
        actions.confirm_override(override, finding(soon, "load"), crew)
    soon.client.force_login(crew)
    for rest in (f"overrides/{override.pk}/confirm/", f"overrides/{override.pk}/withdraw/"):
        assert soon.client.post(soon.url(rest)).status_code == 403
    assert soon.client.get(url(soon)).status_code == 403
    assert "Override this" not in page(soon)


def test_two_confirmations_keep_the_first(soon):
    override = give(soon, "load")
    first, third = factories.person(MANAGER), factories.person(SYSTEM_TECH)
    actions.confirm_override(override, finding(soon, "load"), first)
    with pytest.raises(NotSaved, match="has confirmed this already"):
        actions.confirm_override(override, finding(soon, "load"), third)
    override.refresh_from_db()
    assert override.second_person == first


def test_a_changed_rig_voids_it_visibly(soon):
    give(soon, "cable_loss")
    soon.overloaded.links.filter(order=3).delete()
    shown = page(soon)
    assert "is void: it was given for" in shown and "Overridden by" not in shown
    assert "Override this" in shown


def test_a_changed_rig_cannot_be_confirmed(soon):
    override = give(soon, "load")
    soon.overloaded.links.filter(order=3).delete()
    with pytest.raises(NotSaved, match="rig has changed"):
        actions.confirm_override(override, finding(soon, "load"), factories.person(MANAGER))


def test_it_expires(soon):
    override = give(soon, "cable_loss")
    Override.objects.filter(pk=override.pk).update(
        at=timezone.now() - timedelta(hours=2), expires_at=timezone.now() - timedelta(hours=1)
    )
    shown = page(soon)
    assert "expired on" in shown and "Override this" in shown
    again = give(soon, "cable_loss", reason="Once more")
    assert Override.objects.get(withdrawn_at__isnull=True) == again


def test_it_never_outlives_the_event(soon):
    late = soon.event.back_at + timedelta(days=30)
    assert give(soon, "cable_loss", expires_at=late).expires_at == soon.event.back_at


def test_an_earlier_end_is_the_venues_time(soon):
    soon.event.space.venue.zone = "Asia/Kolkata"
    soon.event.space.venue.save()
    until = timezone.now().replace(second=0, microsecond=0) + timedelta(hours=7)
    local = (until + timedelta(hours=5, minutes=30)).strftime("%Y-%m-%dT%H:%M")
    assert send(soon, expires_at=local).status_code == 302
    assert Override.objects.get().expires_at == until


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"reason": ""}, "Say why it is right here"),
        ({"reason": "   "}, "Say why it is right here"),
        ({"reason": "x" * 301}, "At most 300 characters"),
        ({"expires_at": "2001-01-01T10:00"}, "has passed"),
        ({"expires_at": "tomorrow"}, "Write a date and a time"),
        ({"seen": "something else"}, "has changed meanwhile"),
    ],
)
def test_bad_input_is_said_and_nothing_is_lost(soon, changes, said):
    response = send(soon, **changes)
    assert response.status_code == 200
    shown = html.unescape(response.content.decode())
    assert said in shown
    assert changes.get("reason", "Speech only") in shown
    assert not Override.objects.exists()


def test_what_holds_or_is_not_there_has_nothing_to_override(soon):
    factories.line(soon.event, soon.box, amp=soon.amp, name="Light", first_channel=2)
    result = checked_lines(describe(soon.event)).results["Light"]
    good = next(each for each in result.findings if each.check == "load")
    assert good.state == "holds"
    with pytest.raises(NotSaved, match="nothing to override"):
        actions.give_override(soon.event, good, soon.tech, "To be sure")
    response = soon.client.get(url(soon, "load", "No such line"))
    assert "not there any more" in response.content.decode()
    assert soon.client.post(url(soon, "load", "No such line"), {"reason": "x"}).status_code == 200
    assert not Override.objects.exists()


def test_a_second_override_of_the_same_is_refused(soon):
    give(soon, "cable_loss")
    assert "has overridden this already" in html.unescape(send(soon).content.decode())
    assert Override.objects.count() == 1


def test_withdrawn(soon):
    override = give(soon, "cable_loss")
    soon.client.post(soon.url(f"overrides/{override.pk}/withdraw/"))
    override.refresh_from_db()
    assert override.withdrawn_by == soon.tech
    assert "Overridden by" not in page(soon)
    with pytest.raises(NotSaved, match="withdrawn"):
        actions.confirm_override(override, finding(soon, "cable_loss"), factories.person(MANAGER))


def test_another_events_override_is_not_found(soon):
    override = give(soon, "cable_loss")
    elsewhere = factories.event()
    for rest in ("confirm", "withdraw"):
        path = f"/events/{elsewhere.pk}/rig/overrides/{override.pk}/{rest}/"
        assert soon.client.post(path).status_code == 404


@pytest.mark.parametrize(
    "broken",
    [
        {"reason": ""},
        {"state": "holds"},
        {"expires_at": timezone.now() - timedelta(days=400)},
        {"second_at": timezone.now()},
        {"withdrawn_at": timezone.now()},
    ],
)
def test_the_database_forbids_what_cannot_be(soon, broken):
    override = give(soon, "cable_loss")
    with pytest.raises(IntegrityError), transaction.atomic():
        Override.objects.filter(pk=override.pk).update(**broken)


def test_an_override_whose_finding_is_gone_stands_on_the_rigs_page(soon):
    override = give(soon, "cable_loss")
    assert "answer for nothing" not in html.unescape(soon.client.get(soon.url()).content.decode())
    soon.overloaded.delete()
    shown = html.unescape(soon.client.get(soon.url()).content.decode())
    assert f"The override by {soon.tech} is void" in shown and "not found any more" in shown
    soon.client.post(soon.url(f"overrides/{override.pk}/withdraw/"))
    assert "answer for nothing" not in soon.client.get(soon.url()).content.decode()
