"""Every door of the site against every role.

`NEEDS` says which right each named address asks for. A new address that is not in the table
fails the first test; an address that forgets to ask, or asks for another right, fails the second.
"""

from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from django.contrib.auth.models import Group
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from rigs.packets.actions import request_packet
from rigs.people import rights
from rigs.people.models import Person
from rigs.tuning.models import Calibration, Equalisation, TargetCurve
from tests import factories

pytestmark = pytest.mark.django_db

ANYONE = "anyone"  # strangers too
SIGNED_IN = "signed in"
NO_ROLE = "no role"


class Needs(NamedTuple):
    """The right to read (GET) and to write (POST). `read` None: there is nothing to read."""

    read: str | None
    write: str


def only(right: str) -> Needs:
    return Needs(right, right)


def posts(right: str) -> Needs:
    return Needs(None, right)


PARTS = (
    "placement", "amplifier", "processor", "mixer", "feed", "support", "load", "spot", "alignment",
    "response", "microphone",
)  # fmt: skip
PART_PAGES = ("", "_new", "_remove")
LOOK, CHANGE_RIG = rights.SEE_PACKETS, rights.DESCRIBE_RIG
NEEDS = {
    "healthy": only(ANYONE),
    "people:sign_in": only(ANYONE),
    "people:sign_out": posts(SIGNED_IN),
    "people:home": only(SIGNED_IN),
    "catalogue:list": only(SIGNED_IN),
    "catalogue:item": only(SIGNED_IN),
    "catalogue:new": only(rights.KEEP_CATALOGUE),
    "catalogue:edit": only(rights.KEEP_CATALOGUE),
    "venues:list": only(SIGNED_IN),
    "venues:venue": only(SIGNED_IN),
    "venues:new": only(rights.KEEP_VENUES),
    "venues:edit": only(rights.KEEP_VENUES),
    "venues:space_new": only(rights.KEEP_VENUES),
    "venues:space": only(rights.KEEP_VENUES),
    "venues:space_remove": posts(rights.KEEP_VENUES),
    "venues:surfaces": only(rights.KEEP_VENUES),
    "venues:part_new": only(rights.KEEP_VENUES),
    "venues:part": only(rights.KEEP_VENUES),
    "venues:part_remove": posts(rights.KEEP_VENUES),
    "stock:list": only(LOOK),
    "stock:unit": only(LOOK),
    "stock:pieces": Needs(LOOK, rights.KEEP_STOCK),
    "stock:set_aside": posts(rights.KEEP_STOCK),
    "stock:make_ready": posts(rights.KEEP_STOCK),
    "events:list": only(LOOK),
    "events:new": only(rights.PLAN_EVENT),
    "events:edit": only(rights.PLAN_EVENT),
    "events:cancel": only(rights.PLAN_EVENT),
    "events:take_up_again": posts(rights.PLAN_EVENT),
    "events:kit": Needs(LOOK, rights.BUILD_KIT),
    "events:search": only(LOOK),
    "events:timeline": only(LOOK),
    "events:row": only(rights.BUILD_KIT),
    "systems:rig": only(LOOK),
    "systems:several": only(CHANGE_RIG),
    "systems:line": Needs(LOOK, CHANGE_RIG),
    "systems:line_new": only(CHANGE_RIG),
    "systems:line_remove": only(CHANGE_RIG),
    "systems:what_if_keep": posts(CHANGE_RIG),
    "systems:limiter_set": posts(CHANGE_RIG),
    "systems:override_new": only(CHANGE_RIG),
    "systems:override_confirm": posts(CHANGE_RIG),
    "systems:override_withdraw": posts(CHANGE_RIG),
    "systems:choices": only(CHANGE_RIG),
    "systems:coverage": only(LOOK),
    "systems:coverage_keep": posts(CHANGE_RIG),
    "systems:aim": only(CHANGE_RIG),
    "systems:aim_proposal": only(CHANGE_RIG),
    "systems:aim_accept": posts(CHANGE_RIG),
    "systems:mains": only(LOOK),
    "systems:processing": only(LOOK),
    "systems:output": Needs(LOOK, CHANGE_RIG),
    "systems:output_tried": posts(CHANGE_RIG),
    "systems:revisions": only(LOOK),
    "systems:revision": only(LOOK),
    "systems:revision_back": posts(CHANGE_RIG),
    "systems:alignments": only(LOOK),
    "systems:alignment_page": only(LOOK),
    "systems:alignment_take": posts(CHANGE_RIG),
    "systems:sub_array": only(LOOK),
    "systems:sub_array_take": posts(CHANGE_RIG),
    "systems:plan_take": posts(CHANGE_RIG),
    "systems:weights": only(LOOK),
    **{f"systems:{kind}{rest}": only(CHANGE_RIG) for kind in PARTS for rest in PART_PAGES},
    "packets:event": only(LOOK),
    "packets:packet": only(LOOK),
    "packets:progress": only(LOOK),
    "packets:freshness": only(LOOK),
    "packets:pdf": only(LOOK),
    "packets:description": only(LOOK),
    "packets:picture": only(LOOK),
    "packets:request": posts(rights.REQUEST_PACKET),
    "packets:tick": posts(rights.TICK),
    "packets:dial_in": only(LOOK),
    "packets:dial_in_csv": only(LOOK),
    "packets:dial_in_json": only(LOOK),
    "tuning:event": only(LOOK),
    "tuning:recording": only(LOOK),
    "tuning:recording_analyse": posts(rights.MEASURE),
    "tuning:recording_new": only(rights.MEASURE),
    "tuning:recording_remove": only(rights.MEASURE),
    "tuning:recording_sound": only(LOOK),
    "tuning:spots": only(LOOK),
    "tuning:fits": Needs(LOOK, rights.MEASURE),
    "tuning:fit": only(LOOK),
    "tuning:fit_take": posts(rights.MEASURE),
    "tuning:fit_check": only(LOOK),
    "tuning:fit_carry": only(rights.MEASURE),
    "tuning:ring_out": only(LOOK),
    "tuning:ring_out_set_up": posts(rights.MEASURE),
    "tuning:notch_new": posts(rights.MEASURE),
    "tuning:notch_off": posts(rights.MEASURE),
    "tuning:notches_set": posts(rights.MEASURE),
    "tuning:listening": only(rights.MEASURE),
    "tuning:notch_plans": only(rights.MEASURE),
    "tuning:notch_plan": only(LOOK),
    "tuning:notch_plan_place": posts(rights.MEASURE),
    "tuning:ring_entry": posts(rights.MEASURE),
    "tuning:listening_heard": posts(rights.MEASURE),
    "tuning:listening_notch": posts(rights.MEASURE),
    "tuning:recording_listen": only(LOOK),
    "tuning:signals": only(rights.MEASURE),
    "tuning:signal_sound": only(rights.MEASURE),
    "tuning:calibrations": only(LOOK),
    "tuning:calibration_new": only(rights.MEASURE),
    "tuning:calibration": only(rights.MEASURE),
    "tuning:calibration_remove": only(rights.MEASURE),
    "tuning:targets": only(LOOK),
    "tuning:target_new": only(rights.MEASURE),
    "tuning:target": only(rights.MEASURE),
    "tuning:target_remove": only(rights.MEASURE),
    "fleet:loading": only(rights.SEE_LOADING),
    "api:schema": only(SIGNED_IN),
    "api:check": posts(SIGNED_IN),
    "api:packet": only(LOOK),
    "api:events": only(LOOK),
    "api:availability": only(LOOK),
}


def doors(resolver: Any = None, space: str = "") -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every named address with the names of its parts, but for Django's own admin site."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver) and pattern.namespace != "admin":
            yield from doors(pattern, f"{pattern.namespace}:" if pattern.namespace else space)
        elif isinstance(pattern, URLPattern):
            yield f"{space}{pattern.name}", tuple(pattern.pattern.converters)


@pytest.fixture
def world():
    """One of everything: the values that stand in addresses, by door or by part."""
    amp, processor = factories.amplifier(), factories.processor()
    event = factories.event()
    place = factories.amplifier_place(event, amp)
    box = factories.placement(event)
    line = factories.line(event, box, amp=place)
    area = factories.area(space=event.space)
    row = event.kit.create(item=factories.accessory(), quantity=1)
    supply = event.space.supplies.create(name="Wall", phases=3)
    support = event.supports.create(name="Stand", kind="stand")
    where = factories.processor_place(event, processor)
    factories.plays(line)
    spot = factories.spot(event)
    alignment = event.alignments.create(name="Subs", kind="fill or tower", spot=spot)
    rows = {
        "spot": spot,
        "alignment": alignment,
        "response": event.measuredresponses.create(
            line=line,
            spot=spot,
            curve={"frequency_hz": [50, 100], "level_db": [0, 0], "phase_deg": [0, 0]},
        ),
        "mixer": event.mixerplaces.create(name="Front of house"),
        "feed": event.rackfeeds.create(rack="Rack 1", supply=supply),
        "support": support,
        "load": event.extraloads.create(support=support, name="Chain"),
        "microphone": event.stagemicrophones.create(name="Lectern"),
    }
    override = event.overrides.create(
        subject=line.name, check_key="cable_loss", title="Loss", state="fails", sentence="Long.",
        person=factories.person(rights.SYSTEM_TECH), reason="Short show", at=event.out_at,
        expires_at=event.back_at,
    )  # fmt: skip
    aim = event.aims.create(fingerprint="0" * 64, description={}, freedoms=[], asked_words="Tops")
    packet = request_packet(event, factories.person(rights.MANAGER))
    calibration = Calibration.objects.create(
        name="Microphone", curve={"frequency_hz": [20.0, 20000.0], "level_db": [0.0, 0.0]}
    )
    target = TargetCurve.objects.create(name="House", points=[[1000.0, 0.0]])
    recording = event.recordings.create(
        content="background", source="uploaded", rate_hz=48_000, channels=1, frames=1,
        look={"peak_db": [None], "rms_db": [None], "clipped": [0], "cut_short": False},
        file="recordings/none.wav",
    )  # fmt: skip
    plan = event.notch_plans.create(
        inputs={"recordings": [{"name": "Vocal"}], "material": "speech"}, fingerprint="0" * 64
    )
    notch = event.ring_notches.create(frequency_hz=300, q=8)
    fit = Equalisation.objects.create(
        event=event, processor_place_id=line.processor_place_id, outputs=[1], fingerprint="0" * 64,
        inputs={"target": {"name": "flat"}, "graphic": None},
    )  # fmt: skip
    return {
        "event_id": event.pk,
        "line_id": line.pk,
        "item_id": amp.pk,
        "unit_id": factories.unit(amp).pk,
        "counted_id": row.item_id,
        "venue_id": event.space.venue_id,
        "space_id": event.space_id,
        "part": "areas",
        "part_id": area.pk,
        "kind": "amplifier",
        "packet_id": packet.pk,
        "pk": packet.pk,
        "key": "plan",
        "events:row": row.pk,
        "systems:line_remove": line.pk,
        "systems:placement": box.pk,
        "systems:placement_remove": box.pk,
        "systems:amplifier": place.pk,
        "systems:amplifier_remove": place.pk,
        "systems:processor": where.pk,
        "systems:alignment_page": alignment.pk,
        "systems:alignment_take": alignment.pk,
        "place_id": line.processor_place_id,
        "number": 1,
        "systems:processor_remove": factories.processor_place(event, processor).pk,
        **{f"systems:{name}": row.pk for name, row in rows.items()},
        **{f"systems:{name}_remove": row.pk for name, row in rows.items()},
        "override_id": override.pk,
        "supply_id": supply.pk,
        "proposal_id": aim.pk,
        "recording_id": recording.pk,
        "calibration_id": calibration.pk,
        "target_id": target.pk,
        "fit_id": fit.pk,
        "notch_id": notch.pk,
        "plan_id": plan.pk,
        "signal": "sweep-5",
        "api:event": event.pk,
    }


def address(name: str, parts: tuple[str, ...], world: dict[str, Any]) -> str:
    def value(part: str) -> Any:
        return world[name] if part == "row_id" or name.startswith("api:event") else world[part]

    return reverse(name, kwargs={part: value(part) for part in parts})


def member(role: str) -> Person:
    person = Person.objects.create_user(f"a {role}")
    if role != NO_ROLE:
        person.groups.add(Group.objects.get(name=role))
    return person


def answer(client: Client, method: str, url: str) -> int:
    """The status of a request whose changes are taken back."""
    with transaction.atomic():
        status = getattr(client, method)(url).status_code
        transaction.set_rollback(True)
    return status


def test_every_door_is_in_the_table():
    assert {name for name, _ in doors()} == set(NEEDS)


@pytest.mark.parametrize("role", [*rights.RIGHTS, NO_ROLE])
def test_each_role_passes_where_it_may_and_nowhere_else(world, role):
    client = Client(raise_request_exception=False)
    client.force_login(member(role))
    session = client.cookies["sessionid"].value
    faults = []
    for name, parts in doors():
        needs = NEEDS.get(name)
        if needs is None:
            continue
        for method, right in (("get", needs.read), ("post", needs.write)):
            client.cookies["sessionid"] = session  # also after signing out, which is taken back
            status = answer(client, method, address(name, parts, world))
            fault = judge(role, right, status)
            if fault:
                faults.append(f"{method} {name}: {fault}, got {status}")
    assert not faults, "\n".join(faults)


def judge(role: str, right: str | None, status: int) -> str:
    if status >= 500:
        return "must not break"
    if right is None:
        return "" if status in (403, 405) else "there is nothing to read"
    allowed = right in (ANYONE, SIGNED_IN) or right in rights.RIGHTS.get(role, ())
    if allowed:
        return "this role may" if status == 403 else ""
    return "" if status in (403, 405) else "this role may not"


def test_strangers_get_no_further_than_the_sign_in(world):
    client = Client(raise_request_exception=False)
    faults = []
    for name, parts in doors():
        for method in ("get", "post"):
            response = getattr(client, method)(address(name, parts, world))
            stopped = response.status_code in (401, 403, 405) or (
                response.status_code == 302 and response.url.startswith("/sign-in/")
            )
            if not stopped and NEEDS.get(name) != only(ANYONE):
                faults.append(f"{method} {name}: {response.status_code}")
    assert not faults, "\n".join(faults)


def test_the_page_of_a_refusal_names_the_right_and_who_has_it(client):
    client.force_login(member(rights.CREW))
    page = client.get(reverse("fleet:loading"))
    assert page.status_code == 403
    assert "does not include the right to see amplifier loading" in page.text
    assert "system tech, manager and administrator" in page.text


@pytest.mark.parametrize("role", [*rights.RIGHTS, NO_ROLE])
def test_nobody_enters_the_admin_site_without_being_staff(client, role):
    client.force_login(member(role))
    assert client.get("/admin/").status_code == 302


def test_an_administrator_who_is_staff_gives_roles_but_no_superuser_powers(client):
    person = member(rights.ADMINISTRATOR)
    person.is_staff = True
    person.save()
    client.force_login(person)
    other = member(rights.CREW)
    page = client.get(reverse("admin:people_person_change", args=[other.pk]))
    assert page.status_code == 200
    assert 'name="groups"' in page.text
    assert 'name="is_superuser"' not in page.text
    boss = Person.objects.create_superuser("boss")
    assert client.get(reverse("admin:people_person_delete", args=[boss.pk])).status_code == 403
    for model in ("loudspeaker", "amplifier", "cable", "processor", "accessory", "connector"):
        assert client.get(reverse(f"admin:catalogue_{model}_add")).status_code == 200, model
