"""Listening for feedback: what a phone sends, and recordings that are listened through."""

import numpy as np
import pytest
from django.urls import reverse

from rigs.systems.models import RingNotch, RingOut
from tests import factories
from tests.rigs.tuning.sounds import wav
from tests.rigs.tuning.test_recordings import kept

pytestmark = pytest.mark.django_db
RATE_HZ = 48_000


def growing(hz: float = 1000.0, seconds: float = 2.5) -> np.ndarray:
    """A tone that grows by 24 dB a second out of a quiet room."""
    times = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    noise = 1e-4 * np.random.default_rng(1).standard_normal(len(times))
    return 10 ** ((-62 + 24 * times) / 20) * np.sin(2 * np.pi * hz * times) + noise


def raw(samples: np.ndarray) -> bytes:
    return np.round(np.clip(samples, -1, 1) * 32_767).astype("<i2").tobytes()


@pytest.fixture
def stage(site, client):
    place = factories.processor_place(site.event)
    RingOut.objects.create(event=site.event, processor_place=place, outputs=[1])
    client.force_login(site.tech)
    return site


def send(client, site, body: bytes, rate: object = RATE_HZ):
    url = reverse("tuning:listened", args=[site.event.pk])
    return client.post(f"{url}?rate={rate}", body, content_type="application/octet-stream")


def test_a_tone_that_grows_is_named_and_can_be_placed(client, stage):
    answer = send(client, stage, raw(growing()))
    assert answer.status_code == 200
    assert (
        "1 kHz" in answer.text and "Place a notch at" in answer.text and "turn down" in answer.text
    )
    data = {"frequency_hz": "1000.0", "gain_db": "-6", "octaves": "0.167", "origin": "heard"}
    client.post(reverse("tuning:notch_new", args=[stage.event.pk]), data)
    assert RingNotch.objects.get().origin == "heard"


@pytest.mark.parametrize(
    ("samples", "sentence"),
    [
        (np.zeros(RATE_HZ), "Next to nothing is heard"),
        (np.ones(RATE_HZ), "clips"),
        (0.1 * np.sin(np.arange(2 * RATE_HZ)), "No tone grows"),
    ],
)
def test_what_is_no_feedback_is_said(client, stage, samples, sentence):
    assert sentence in send(client, stage, raw(samples)).text


@pytest.mark.parametrize(
    ("body", "rate"),
    [
        (b"", RATE_HZ), (b"abc", RATE_HZ), (bytes(20), RATE_HZ), (bytes(900_000), RATE_HZ),
        (bytes(2_000_000), RATE_HZ), (bytes(96_000), 0), (bytes(96_000), "fast"),
        (bytes(96_000), 10**8),
    ],
)  # fmt: skip
def test_what_is_no_sound_is_refused_in_a_sentence(client, stage, body, rate):
    answer = send(client, stage, body, rate)
    assert (answer.status_code == 400 and "listened to" in answer.text) or "no sound" in answer.text


def test_a_recording_is_listened_through(client, stage):
    row = kept(stage, wav(growing(630.0), RATE_HZ, 24), content="other")
    url = reverse("tuning:recording_listen", args=[stage.event.pk, row.pk])
    assert "630 Hz" in client.get(url).text
    row.file.delete(save=False)
    assert "is lost" in client.get(url).text


def test_the_microphones_channel_is_listened_to(client, stage):
    rows = np.stack([0.1 * np.sin(np.arange(len(growing()))), growing(630.0)], axis=1)
    row = kept(stage, wav(rows, RATE_HZ, 24), content="other", reference_channel=1)
    url = reverse("tuning:recording_listen", args=[stage.event.pk, row.pk])
    assert "630 Hz" in client.get(url).text


def test_the_page_warns_before_it_listens(client, stage):
    text = client.get(reverse("tuning:listening", args=[stage.event.pk])).text
    assert text.index("can harm hearing") < text.index("Start listening")
    RingOut.objects.all().delete()
    text = client.get(reverse("tuning:listening", args=[stage.event.pk])).text
    assert "Nobody said yet" in text
