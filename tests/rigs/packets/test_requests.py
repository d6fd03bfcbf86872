"""Asking for packets: once per input, never changed afterwards."""

import pytest
from django.db import DatabaseError, transaction

from calc.serialise import fingerprint
from rigs.packets import builds, tasks
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet, Run
from rigs.systems.describe import describe
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet, thicker_cable

pytestmark = pytest.mark.django_db


def test_asking_twice_gives_the_same_packet_and_one_run():
    event = event_with_rig()
    first = made_packet(event)
    again = request_packet(event, None)
    assert again == first
    assert Run.objects.count() == 1 and Packet.objects.count() == 1


def test_the_run_holds_the_fingerprint_of_its_input():
    event = event_with_rig()
    assert made_packet(event).run.fingerprint == fingerprint(describe(event))


def test_a_changed_rig_gives_a_new_version():
    event = event_with_rig()
    first = made_packet(event)
    thicker_cable(event)
    second = made_packet(event)
    assert (first.number, second.number) == (1, 2)
    assert first.run_id != second.run_id


def test_a_changed_kit_list_gives_a_new_version_without_computing_again(monkeypatch):
    event = event_with_rig()
    first = made_packet(event)
    event.kit.update(quantity=9)
    monkeypatch.setattr(builds, "compute", lambda *_: pytest.fail("computed again"))
    second = request_packet(event, None)
    assert second.made and second.run_id == first.run_id
    assert second.kit["rows"][0]["quantity"] == 9
    assert first.kit["rows"][0]["quantity"] == 2


def test_two_events_with_the_same_input_share_a_run_only_when_it_is_the_same():
    one, other = event_with_rig(), event_with_rig()
    assert made_packet(one).run_id != made_packet(other).run_id


@pytest.mark.parametrize(
    "change",
    [
        {"sections": []},
        {"kit": {}},
        {"about": {}},
        {"number": 7},
        {"made_at": None, "sections": None},
    ],
)
def test_the_database_refuses_to_change_a_made_packet(change):
    packet = made_packet(event_with_rig())
    with pytest.raises(DatabaseError, match="never changes"), transaction.atomic():
        Packet.objects.filter(pk=packet.pk).update(**change)


def test_a_made_packet_goes_with_its_event_only():
    event = event_with_rig()
    made_packet(event)
    event.drivelines.all().delete()
    event.delete()
    assert not Packet.objects.exists()


def test_an_account_may_go_while_its_packet_stays():
    event, person = event_with_rig(), factories.person("manager")
    packet = request_packet(event, person)
    tasks.build(packet.run_id)
    person.delete()
    packet.refresh_from_db()
    assert packet.made and packet.asked_by is None


def test_later_changes_do_not_reach_a_made_packet():
    event = event_with_rig()
    packet = made_packet(event)
    before = packet.sections
    amplifier = event.amplifierplaces.first().amplifier
    amplifier.gain_db = 26.0
    amplifier.save()
    packet.refresh_from_db()
    assert packet.sections == before


def test_a_description_with_a_fault_fails_with_its_sentence(monkeypatch):
    event = event_with_rig()
    packet = request_packet(event, None)

    def refuse(*_):
        raise builds.CannotCompute("Line 1: channel 3 of an amplifier with two.")

    monkeypatch.setattr(builds, "compute", refuse)
    tasks.build(packet.run_id)
    run = Run.objects.get()
    assert (run.state, run.fault) == ("failed", "Line 1: channel 3 of an amplifier with two.")
    monkeypatch.undo()
    assert made_packet(event).made
    assert Run.objects.get().fault == ""


def test_a_fault_of_ours_gives_a_plain_sentence_and_the_log_has_the_rest(monkeypatch, caplog):
    packet = request_packet(event_with_rig(), None)
    monkeypatch.setattr(builds, "make_sections", lambda *_: 1 / 0)
    tasks.build(packet.run_id)
    run = Run.objects.get()
    assert run.state == "failed" and run.fault == builds.WORDS.broke
    assert "ZeroDivisionError" in caplog.text


def test_a_dead_queue_does_not_break_the_request(
    monkeypatch, django_capture_on_commit_callbacks, caplog
):
    def down(*_):
        raise tasks.OperationalError("no answer")

    monkeypatch.setattr(tasks.build, "delay", down)
    with django_capture_on_commit_callbacks(execute=True):
        packet = request_packet(event_with_rig(), None)
    assert packet.run.state == "waiting"
    assert "kept" in caplog.text


def test_requests_are_queued_only_after_they_are_stored(
    monkeypatch, django_capture_on_commit_callbacks
):
    queued = []
    monkeypatch.setattr(tasks.build, "delay", queued.append)
    with django_capture_on_commit_callbacks(execute=True):
        packet = request_packet(event_with_rig(), None)
        assert not queued
    assert queued == [packet.run_id]
