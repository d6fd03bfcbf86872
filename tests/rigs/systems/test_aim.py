"""Aim and trim: bounded, claimed once, and nothing applied before it is accepted."""

import html
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from rigs.jobs import claims
from rigs.people.rights import CREW, MANAGER
from rigs.systems import actions, aims, queries, tasks
from rigs.systems.describe import describe, fingerprint
from rigs.systems.describe.aiming import freedoms_of
from rigs.systems.faults import NotSaved
from rigs.systems.models import AimProposal, Placement
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def askew(rig):
    """Two tops over one area, both turned away from it by 40 degrees."""
    top = rig.box.loudspeaker
    Placement.objects.filter(pk=rig.box.pk).update(x_m=-4, azimuth_deg=-40, z_m=4)
    right = factories.placement(
        rig.event, top, name="Top right", x_m=4, azimuth_deg=40, z_m=4, tilt_deg=0
    )
    factories.area(space=rig.event.space, name="Floor")
    rig.left = factories.plays(rig.line(name="Left"), gain_db=-3, delay_ms=1)
    rig.right = factories.line(
        rig.event, right, amp=rig.amp, run=rig.cable, name="Right", first_channel=2
    )
    return rig


def entries(**changes):
    return {
        "boxes": ["Top left", "Top right"], "together": "together", "azimuth_deg": "40",
        "tilt_deg": "10", "z_m": "0", "level_db": "0", "delay_ms": "0",
    } | changes  # fmt: skip


def ask(rig, **changes):
    return rig.client.post(rig.url("coverage/aim/"), entries(**changes))


def made(rig, **changes):
    """A proposal that a worker has finished."""
    assert ask(rig, **changes).status_code == 302
    proposal = AimProposal.objects.get()
    tasks.aim(proposal.pk)
    proposal.refresh_from_db()
    return proposal


def accept(rig, proposal):
    return rig.client.post(rig.url(f"coverage/aim/{proposal.pk}/accept/"))


def test_a_search_turns_the_boxes_back_within_its_bounds(askew):
    before = fingerprint(describe(askew.event))
    proposal = made(askew)
    assert proposal.state == "done" and proposal.progress == 100
    result = proposal.result
    assert result["after"]["deviation_db"] < result["before"]["deviation_db"]
    turned = {c["name"]: c for c in result["changes"] if c["quantity"] == "azimuth_deg"}
    assert turned["Top left"]["after"] == pytest.approx(-turned["Top right"]["after"])
    assert all(abs(c["after"] - c["before"]) <= 40 for c in turned.values())
    assert fingerprint(describe(askew.event)) == before


def test_accepting_applies_what_was_proposed(askew):
    proposal = made(askew)
    assert accept(askew, proposal).status_code == 302
    proposal.refresh_from_db()
    assert proposal.accepted_by == askew.tech
    for change in proposal.result["changes"]:
        stored = Placement.objects.get(name=change["name"])
        assert getattr(stored, change["quantity"]) == pytest.approx(change["after"], abs=0.06)
        assert stored.version == 2 and stored.changed_by == askew.tech


def test_level_and_delay_become_a_revision_and_keep_the_boxes(askew):
    for driven in (askew.left, askew.right):
        factories.plays(driven, gain_db=-3, delay_ms=5)
    proposal = made(
        askew, together="apart", azimuth_deg="0", tilt_deg="0", level_db="6", delay_ms="3"
    )
    changes = {(c["name"], c["quantity"]): c["after"] for c in proposal.result["changes"]}
    assert changes
    links = list(askew.left.links.values_list("placement", "way", "cable", "pieces"))
    assert accept(askew, proposal).status_code == 302
    newest = queries.current_revision(askew.event)
    set_so = newest.outputs.get(processor_place=askew.left.processor_place, number=1)
    assert newest.made_by == askew.tech
    assert set_so.gain_db == pytest.approx(-3 + changes.get(("Left", "level_db"), 0), abs=0.01)
    assert set_so.delay_ms == pytest.approx(changes.get(("Left", "delay_ms"), 5), abs=0.01)
    assert list(askew.left.links.values_list("placement", "way", "cable", "pieces")) == links


def test_a_rig_that_changed_meanwhile_is_left_alone(askew):
    proposal = made(askew)
    Placement.objects.filter(name="Top right").update(z_m=5, version=2)
    response = accept(askew, proposal)
    assert response.status_code == 200
    assert "has changed since this was worked out" in html.unescape(response.content.decode())
    assert Placement.objects.get(name="Top left").azimuth_deg == -40
    proposal.refresh_from_db()
    assert proposal.accepted_at is None


def test_it_is_accepted_once(askew):
    proposal = made(askew)
    accept(askew, proposal)
    with pytest.raises(NotSaved, match="accepted this already"):
        actions.accept_aim(proposal, askew.tech)


def test_what_is_not_ready_is_not_accepted(askew):
    ask(askew)
    assert "not ready yet" in accept(askew, AimProposal.objects.get()).content.decode()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"boxes": []}, "Choose at least one box"),
        ({"boxes": ["Nowhere"]}, "Nowhere"),
        ({"azimuth_deg": "0", "tilt_deg": "0"}, "Nothing may move"),
        ({"azimuth_deg": "-5"}, "0 or more"),
        ({"azimuth_deg": "360"}, "At most 90"),
        ({"tilt_deg": "nan"}, "number"),
        ({"together": "sideways"}, "sideways"),
    ],
)
def test_bad_input_gets_a_sentence_and_starts_nothing(askew, changes, said):
    response = ask(askew, **changes)
    assert response.status_code == 200
    assert said in html.unescape(response.content.decode())
    assert not AimProposal.objects.exists()


def test_a_rig_that_cannot_be_worked_out_fails_with_a_sentence(askew):
    askew.event.space.areas.all().delete()
    proposal = made(askew)
    assert (proposal.state, proposal.result) == ("failed", None)
    assert "no audience area" in proposal.fault
    page = askew.client.get(askew.url(f"coverage/aim/{proposal.pk}/")).content.decode()
    assert "There is no proposal" in page and "Accept it" not in page


def test_progress_is_shown_until_it_is_there(askew):
    ask(askew)
    proposal = AimProposal.objects.get()
    url = askew.url(f"coverage/aim/{proposal.pk}/")
    assert "<progress" in askew.client.get(url).content.decode()
    part = askew.client.get(url, headers={"HX-Request": "true", "HX-Target": "aim-result"})
    assert "<html" not in part.content.decode()
    tasks.aim(proposal.pk)
    page = askew.client.get(url).content.decode()
    assert "Accept it" in page and "<progress" not in page


def test_a_claimed_search_is_not_claimed_again_and_a_lost_one_is_taken_over(askew):
    ask(askew)
    pk = AimProposal.objects.get().pk
    first = claims.claim(AimProposal, pk)
    assert first and claims.claim(AimProposal, pk) is None
    AimProposal.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    second = claims.claim(AimProposal, pk)
    assert second and second.attempt == 2
    first.fail("late")  # the old claim changes nothing any more
    assert AimProposal.objects.get().state == "working"
    aims.work(first)
    assert AimProposal.objects.get().state == "working"
    aims.work(second)
    assert AimProposal.objects.get().state == "done"


def test_a_search_whose_worker_dies_again_and_again_is_given_up(askew):
    ask(askew)
    pk = AimProposal.objects.get().pk
    for _ in range(claims.MOST_ATTEMPTS):
        assert claims.claim(AimProposal, pk)
        AimProposal.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert claims.claim(AimProposal, pk) is None
    assert claims.give_up_hopeless(AimProposal, aims.WORDS.died_too_often) == 1
    assert "stopped in the middle" in AimProposal.objects.get().fault


def test_what_waits_is_queued_again(askew, monkeypatch):
    sent: list[int] = []
    monkeypatch.setattr(tasks.aim, "apply_async", lambda args, **_: sent.append(*args))
    ask(askew)
    tasks.requeue_aims()
    assert sent == [AimProposal.objects.get().pk]


def test_lines_whose_gain_is_unknown_keep_their_level(askew):
    system = describe(askew.event)
    found = freedoms_of(system, ["Top left", "Top right"], {"level_db": 6}, True)
    assert [freedom.names for freedom in found] == [("Left",)]


def test_lines_on_one_output_move_together(askew):
    askew.right.processor_place, askew.right.output = askew.left.processor_place, 1
    askew.right.save()
    system = describe(askew.event)
    found = freedoms_of(system, ["Top left", "Top right"], {"delay_ms": 20}, False)
    assert [set(freedom.names) for freedom in found] == [{"Left", "Right"}]


def test_it_says_which_lines_move_along(askew):
    proposal = made(askew)
    proposal.result["remarks"] = ["Right moves along with Left: one processor output feeds them."]
    proposal.save()
    page = askew.client.get(askew.url(f"coverage/aim/{proposal.pk}/"))
    assert "Right moves along with Left" in page.text


def test_a_delay_never_falls_below_nothing(askew):
    system = describe(askew.event)
    found = freedoms_of(system, ["Top left"], {"delay_ms": 20}, False)
    assert [(freedom.names, freedom.less, freedom.more) for freedom in found] == [
        (("Left",), 1, 20)
    ]


def test_bounds_stay_within_what_can_stand(askew):
    Placement.objects.filter(name="Top left").update(tilt_deg=-88)
    found = freedoms_of(describe(askew.event), ["Top left"], {"tilt_deg": 10}, False)
    assert [(freedom.less, freedom.more) for freedom in found] == [(2, 10)]


def test_only_those_who_describe_rigs_aim_them(askew):
    proposal = made(askew)
    askew.client.force_login(factories.person(CREW))
    assert askew.client.get(askew.url("coverage/aim/")).status_code == 403
    assert accept(askew, proposal).status_code == 403
    askew.client.force_login(factories.person(MANAGER))
    assert accept(askew, proposal).status_code == 302


def test_another_events_proposal_is_not_found(askew):
    proposal = made(askew)
    other = factories.event()
    url = f"/events/{other.pk}/rig/coverage/aim/{proposal.pk}/"
    assert askew.client.get(url).status_code == 404


def test_queries_of_the_form_do_not_grow(askew):
    def count():
        with CaptureQueriesContext(connection) as seen:
            assert askew.client.get(askew.url("coverage/aim/")).status_code == 200
        return len(seen)

    one = count()
    for number in range(6):
        factories.line(askew.event, factories.placement(askew.event, name=f"Box {number}"))
    assert count() == one
