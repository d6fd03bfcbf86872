"""Claims: a lease that runs out, and what an old claim may still do."""

from datetime import timedelta

import pytest
from django.utils import timezone

from rigs.jobs import claims
from rigs.jobs.claims import MOST_ATTEMPTS, Claim, Steps
from rigs.packets import builds, tasks
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Run
from tests.rigs.packets.rigs import event_with_rig

pytestmark = pytest.mark.django_db


@pytest.fixture
def run_id() -> int:
    return request_packet(event_with_rig(), None).run_id


@pytest.fixture
def queued(monkeypatch) -> list[int]:
    sent: list[int] = []
    monkeypatch.setattr(tasks.build, "apply_async", lambda args, **_: sent.append(*args))
    return sent


def claim(run_id: int) -> Claim[Run] | None:
    return claims.claim(Run, run_id)


def let_the_lease_run_out() -> None:
    Run.objects.update(lease_until=timezone.now() - timedelta(seconds=1))


def test_a_claimed_run_is_not_claimed_again(run_id):
    assert claim(run_id) and claim(run_id) is None


def test_a_lease_that_ran_out_is_taken_over(run_id):
    first = claim(run_id)
    let_the_lease_run_out()
    second = claim(run_id)
    assert second and second.attempt == 2
    assert second.renew() and not first.renew()


def test_a_worker_that_was_only_slow_changes_nothing(run_id):
    slow = claim(run_id)
    let_the_lease_run_out()
    claim(run_id)
    builds.build(slow)
    assert Run.objects.get().state == "working"
    assert not Packet.objects.get().made


def test_a_slow_worker_cannot_fail_a_run_that_another_holds(run_id):
    slow = claim(run_id)
    let_the_lease_run_out()
    claim(run_id)
    slow.fail("too late")
    assert Run.objects.get().fault == ""


def test_a_run_whose_workers_keep_dying_fails_with_a_sentence(run_id, queued):
    for _ in range(MOST_ATTEMPTS):
        assert claim(run_id)
        let_the_lease_run_out()
    assert claim(run_id) is None
    tasks.requeue_waiting()
    run = Run.objects.get()
    assert (run.state, run.fault) == ("failed", builds.WORDS.died_too_often)
    assert not queued


def test_what_waits_or_lost_its_worker_is_queued_again(run_id, queued):
    tasks.requeue_waiting()
    assert queued == [run_id]
    claim(run_id)
    tasks.requeue_waiting()
    assert queued == [run_id]
    let_the_lease_run_out()
    tasks.requeue_waiting()
    assert queued == [run_id, run_id]


def test_progress_is_stored_while_the_work_goes_on(run_id, monkeypatch):
    seen = []

    def watch(system, progress):
        for done in range(4):
            progress(done, 4, f"drive line {done + 1}")
            seen.append(Run.objects.values_list("progress", "doing").get())
        return builds_compute(system)

    builds_compute = builds.compute
    monkeypatch.setattr(builds, "compute", watch)
    monkeypatch.setattr(Steps, "LEAST_S", 0.0)
    tasks.build(run_id)
    assert seen[2] == (47, "drive line 3 (3 of 4)")
    assert Run.objects.get().progress == 100


def test_building_a_run_that_is_gone_does_nothing():
    tasks.build(10**6)
