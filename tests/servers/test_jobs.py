"""Jobs with real servers and a real worker: nothing is lost, nothing is done twice."""

import sys
from pathlib import Path

import pytest

from config.processes import wait_until
from rigs.packets import tasks
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Run
from tests.rigs.packets.rigs import event_with_rig
from tests.servers import workers

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(sys.platform == "win32", reason="kills process groups"),
]

PROMISED_S = 30
"""So long after a worker is there, a packet that lost its worker is finished."""


@pytest.fixture(autouse=True)
def clean_queue() -> None:
    workers.empty_queue()


def test_a_worker_builds_what_was_asked_for(tmp_path: Path) -> None:
    packet = request_packet(event_with_rig(), None)
    with workers.worker(tmp_path):
        assert workers.wait_for_state(packet.run_id, state="done")
    packet.refresh_from_db()
    run = packet.run
    assert packet.made and packet.sections
    assert run.attempts == 1 and run.progress == 100
    assert 0 < run.computing_seconds < run.seconds


def test_a_worker_killed_in_mid_build_loses_nothing(tmp_path: Path) -> None:
    packet = request_packet(event_with_rig(), None)
    with workers.worker(tmp_path) as first, workers.locked(packet):
        assert workers.wait_for_state(packet.run_id, state="working", doing="writing the packet")
        workers.kill(first)
    packet.refresh_from_db()
    assert not packet.made
    with workers.worker(tmp_path):
        assert workers.wait_for_state(packet.run_id, PROMISED_S, state="done"), "not in time"
        packet.refresh_from_db()
        made_at, run = packet.made_at, packet.run
        assert run.attempts == 2
    tasks.build(run.pk)  # the killed worker's message comes back sooner or later
    packet.refresh_from_db()
    assert packet.made_at == made_at and packet.run.attempts == 2


def test_a_message_that_comes_again_computes_nothing(tmp_path: Path) -> None:
    packet = request_packet(event_with_rig(), None)
    for _ in range(5):
        tasks.build.delay(packet.run_id)
    with workers.worker(tmp_path):
        assert workers.wait_for_state(packet.run_id, state="done")
        tasks.build.delay(packet.run_id)
        assert wait_until(workers.queue_is_empty, 20, pause=0.1)
    assert Run.objects.get().attempts == 1


def test_a_request_while_the_queue_is_down_is_built_later(tmp_path: Path) -> None:
    event = event_with_rig()
    code = (
        "from rigs.events.models import Event\n"
        "from rigs.packets.actions import request_packet\n"
        f"request_packet(Event.objects.get(pk={event.pk}), None)\n"
    )
    asked = workers.run_python(code, tmp_path, queue=workers.dead_queue())
    assert asked.returncode == 0, asked.stderr
    assert "the job queue does not answer" in asked.stderr
    packet = Packet.objects.get()
    assert packet.run.state == "waiting" and workers.queue_is_empty()
    with workers.worker(tmp_path):
        assert workers.wait_for_state(packet.run_id, PROMISED_S, state="done")
    packet.refresh_from_db()
    assert packet.made
