"""Many at once: one run, one packet, one claim."""

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier
from typing import TypeVar

import pytest
from django.db import connection
from django.utils import timezone

from rigs.jobs import claims
from rigs.packets import tasks
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Run
from tests.rigs.packets.rigs import event_with_rig

pytestmark = pytest.mark.django_db(transaction=True)

MANY = 8
Answer = TypeVar("Answer")


def at_once(work: Callable[[], Answer]) -> list[Answer]:
    """The answers of MANY threads that all start together."""
    start = Barrier(MANY)

    def one() -> Answer:
        try:
            start.wait(10)
            return work()
        finally:
            connection.close()

    with ThreadPoolExecutor(MANY) as pool:
        return [done.result(30) for done in [pool.submit(one) for _ in range(MANY)]]


def test_many_requests_at_once_give_one_packet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks.build, "delay", lambda run_id: None)
    event = event_with_rig()
    asked = at_once(lambda: request_packet(event, None).pk)
    assert len(set(asked)) == 1
    assert Packet.objects.count() == 1 and Run.objects.count() == 1


def test_one_of_many_workers_gets_a_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks.build, "delay", lambda run_id: None)
    run_id = request_packet(event_with_rig(), None).run_id
    won = [claim for claim in at_once(lambda: claims.claim(Run, run_id)) if claim]
    assert len(won) == 1
    assert Run.objects.get().attempts == 1


def test_the_heartbeat_keeps_a_long_computation_claimed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks.build, "delay", lambda run_id: None)
    held = claims.claim(Run, request_packet(event_with_rig(), None).run_id)
    assert held
    Run.objects.update(lease_until=timezone.now() + timedelta(seconds=0.3))
    with claims.heartbeat(held, every_s=0.1):
        time.sleep(0.6)
        assert claims.claim(Run, held.pk) is None
    assert Run.objects.get().lease_until > timezone.now() + timedelta(seconds=5)
