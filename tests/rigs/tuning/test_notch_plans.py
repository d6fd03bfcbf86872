"""Measured loops: a job finds rings and notches in recordings, and a page tells them."""

import numpy as np
import pytest
from celery import current_app
from django.urls import reverse
from scipy.signal import butter, lfilter, oaconvolve

from calc.signals.feedback.rings import rings_of
from rigs.systems.models import RingNotch, RingOut, StageMicrophone
from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.models import NotchPlan
from rigs.tuning.signals import played
from rigs.tuning.tasks import plan_notches, requeue_notch_plans
from tests import factories
from tests.rigs.tuning.sounds import wav
from tests.rigs.tuning.test_recordings import kept

pytestmark = pytest.mark.django_db
RATE_HZ = 48_000
SWEEP = "sweep-5"


def path(seed: int) -> np.ndarray:
    """From the system to a microphone on stage: 9 ms late, then a room that dies away."""
    rng = np.random.default_rng(seed)
    times = np.arange(round(0.6 * RATE_HZ)) / RATE_HZ
    row = rng.standard_normal(len(times)) * 10 ** (-3 * times / 0.5)
    row = lfilter(*butter(2, [100, 6000], "band", fs=RATE_HZ), row)
    row = np.concatenate([np.zeros(432), row])
    return 0.5 * row / np.abs(np.fft.rfft(row, 1 << 17)).max()


def both(row: np.ndarray, noise: float = 1e-5) -> np.ndarray:
    """Microphone and what was played, side by side."""
    sent = signal_of(played(SWEEP)).samples
    heard = oaconvolve(np.concatenate([sent, np.zeros(2 * RATE_HZ)]), row)
    rows = np.zeros((len(heard), 2))
    rows[:, 0] = heard + noise * np.random.default_rng(1).standard_normal(len(heard))
    rows[: len(sent), 1] = sent
    return rows


@pytest.fixture
def stage(site, client, monkeypatch):
    monkeypatch.setattr("rigs.tuning.tasks.enqueue_notch_plan", lambda pk: None)
    site.place = factories.processor_place(site.event, factories.processor(filters_per_output=12))
    RingOut.objects.create(
        event=site.event, processor_place=site.place, outputs=[1], notches=8, reserve=4
    )
    site.microphones = [
        StageMicrophone.objects.create(event=site.event, name=name) for name in ("Lectern", "Vocal")
    ]
    client.force_login(site.tech)
    return site


def recorded(site, index=0, seed=1, samples=None, **fields):
    sound = wav(both(path(seed)) if samples is None else samples, RATE_HZ, 24)
    usual = {"spot": None, "microphone": site.microphones[index], "reference_channel": 2}
    return kept(site, sound, **usual | fields)


def ask(client, site, **changes):
    rows = [str(row.pk) for row in site.event.recordings.all()]
    data = {"recordings": rows, "offset_db": "0", "placed": ""} | changes
    return client.post(reverse("tuning:notch_plans", args=[site.event.pk]), data)


def planned(client, site, **changes) -> NotchPlan:
    assert ask(client, site, **changes).status_code == 302
    row = NotchPlan.objects.latest("pk")
    plan_notches(row.pk)
    row.refresh_from_db()
    return row


def page(client, row):
    return client.get(reverse("tuning:notch_plan", args=[row.event_id, row.pk])).text


def test_the_rings_of_a_loop_are_found_in_its_recording(client, stage):
    """The loop's own rings by its impulse response, within 1 Hz and 0.1 dB."""
    recorded(stage)
    row = planned(client, stage)
    assert row.state == "done", row.fault
    size = 1 << 17
    true = rings_of(np.fft.rfftfreq(size, 1 / RATE_HZ), np.fft.rfft(path(1), size))
    found = row.result["loops"][0]["rings"]
    for wanted, got in zip(true[:3], found[:3], strict=True):
        assert got["frequency_hz"] == pytest.approx(wanted.frequency_hz, abs=1.0)
        assert got["margin_db"] == pytest.approx(wanted.margin_db, abs=0.1)
    text = page(client, row)
    assert "Margin with the notches" in text and "Place these on the sheet" in text


def test_notches_raise_the_margin_and_keep_the_reserve(client, stage):
    recorded(stage)
    recorded(stage, 1, seed=2)
    row = planned(client, stage)
    assert 0 < len(row.result["notches"]) <= 4
    assert row.result["margin_after_db"] > row.result["margin_before_db"] + 1
    after = min(loop["margin_after_db"] for loop in row.result["loops"])
    assert after == pytest.approx(row.result["margin_after_db"])
    client.post(reverse("tuning:notch_plan_place", args=[stage.event.pk, row.pk]))
    assert RingNotch.objects.count() == len(row.result["notches"])
    assert RingNotch.objects.first().origin == "measured"
    again = client.post(
        reverse("tuning:notch_plan_place", args=[stage.event.pk, row.pk]), follow=True
    )
    assert "already" in again.text or "kept free" in again.text
    assert RingNotch.objects.count() == len(row.result["notches"])


def test_open_microphones_ring_together_sooner_than_each_alone(client, stage):
    """Against the rings of the sum of both impulse responses, within 1 Hz and 0.1 dB."""
    recorded(stage)
    recorded(stage, 1, seed=2)
    row = planned(client, stage)
    names = [loop["name"] for loop in row.result["loops"]]
    assert names == ["Lectern", "Vocal", "2 open together"]
    size = 1 << 17
    true = rings_of(np.fft.rfftfreq(size, 1 / RATE_HZ), np.fft.rfft(path(1) + path(2), size))
    found = row.result["loops"][2]["rings"]
    for wanted, got in zip(true[:3], found[:3], strict=True):
        assert got["frequency_hz"] == pytest.approx(wanted.frequency_hz, abs=1.0)
        assert got["margin_db"] == pytest.approx(wanted.margin_db, abs=0.1)
    assert row.result["margin_before_db"] == pytest.approx(true[0].margin_db, abs=0.1)
    assert "2 open together" in page(client, row)


def test_the_sheet_tells_what_a_measured_loop_leaves(client, stage):
    recorded(stage)
    sheet = reverse("tuning:ring_out", args=[stage.event.pk])
    assert "by its measured loop" not in client.get(sheet).text
    row = planned(client, stage)
    left = row.result["margin_before_db"]
    text = client.get(sheet).text
    assert f"{left:.1f} dB by its measured loop, first" in text
    assert reverse("tuning:notch_plan", args=[stage.event.pk, row.pk]) in text
    # Where nobody knows how loud it was measured there is no such figure.
    planned(client, stage, offset_db="")
    assert "by its measured loop" not in client.get(sheet).text


def test_a_microphone_that_stays_closed_is_in_no_sum(client, stage):
    recorded(stage)
    recorded(stage, 1, seed=2)
    StageMicrophone.objects.filter(name="Vocal").update(is_open=False)
    row = planned(client, stage)
    assert [loop["name"] for loop in row.result["loops"]] == ["Lectern", "Vocal"]


def test_filters_in_use_and_the_reserve_leave_less_room(client, stage):
    """12 filters an output: 4 waiting on the sheet, 6 kept free: room for 2 of the 10 left."""
    recorded(stage)
    RingOut.objects.update(notches=20, reserve=6)
    for hz in (300, 500, 700, 900):
        RingNotch.objects.create(event=stage.event, frequency_hz=hz, gain_db=-6, q=8)
    row = planned(client, stage)
    assert len(row.result["notches"]) <= 2 and row.result["reserve"] == 6
    assert "has room for 2 of the 10 notches" in page(client, row)


def test_without_a_known_level_only_differences_are_told(client, stage):
    recorded(stage)
    row = planned(client, stage, offset_db="")
    assert row.result["absolute"] is False
    text = page(client, row)
    assert "the margin itself is not" in text and 'data-state="cannot check"' in text
    assert "Margin with the notches" not in text


def test_a_loop_that_rings_already_is_said(client, stage):
    recorded(stage)
    assert "rings at the show position already" in page(
        client, planned(client, stage, offset_db="30")
    )


def test_without_what_was_played_no_ring_can_be_named(client, stage):
    recorded(stage, samples=both(path(1))[:, :1], reference_channel=None)
    row = planned(client, stage)
    assert row.state == "failed" and "not on a second channel" in row.fault
    assert "record both together" in page(client, row)


def test_a_microphone_that_hears_nothing_is_said(client, stage):
    recorded(stage, samples=both(0 * path(1), noise=1e-3))
    row = planned(client, stage)
    assert row.state == "failed" and row.fault.startswith("Lectern: ")


def test_what_is_missing_is_said_before_anything_is_asked(client, stage):
    url = reverse("tuning:notch_plans", args=[stage.event.pk])
    assert "loop was recorded: play a sweep" in client.get(url).text
    RingOut.objects.all().delete()
    assert "Say first, on the sheet" in client.get(url).text
    assert not NotchPlan.objects.exists()


def test_the_same_question_is_one_plan(client, stage):
    recorded(stage)
    assert planned(client, stage) == planned(client, stage)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [({"recordings": []}, "Choose one microphone"), ({"offset_db": "loud"}, "number")],
)
def test_a_wrong_wish_is_told_and_kept(client, stage, changes, sentence):
    recorded(stage)
    answer = ask(client, stage, **({"placed": "3"} | changes))
    assert sentence in answer.text and 'value="3"' in answer.text


def test_a_recording_is_of_a_spot_or_of_a_microphone(client, stage):
    page_url = reverse("tuning:recording_new", args=[stage.event.pk])
    data = {
        "content": "sweep", "spot": stage.spot.pk, "microphone": stage.microphones[0].pk,
    }  # fmt: skip
    text = client.post(page_url, data).text
    assert "choose one of both" in text.lower() or "one of both" in text


def test_the_worker_takes_up_waiting_plans():
    wanted = current_app.conf.beat_schedule["requeue-notch-plans"]["task"]
    assert requeue_notch_plans.name == wanted
