"""A phone that listens: what it is told of made sound, what is refused, and a tap to a notch."""

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from redis import RedisError

from rigs.people import rights
from rigs.systems.models import RingNotch, RingOut, StageMicrophone
from tests import factories
from tests.rigs.tuning.sounds import wav
from tests.rigs.tuning.test_recordings import kept

pytestmark = pytest.mark.django_db
RATE = 24_000


def growing(hz=1000.0, db_per_s=30.0, seconds=2.5, rate=RATE, top_db=-12.0):
    """A tone that grows by equal factors in equal times up to `top_db`, over a little noise."""
    times = np.arange(int(seconds * rate)) / rate
    level = np.minimum(top_db, top_db + db_per_s * (times - seconds))
    noise = 3e-4 * np.random.default_rng(4).standard_normal(len(times))
    return 10 ** (level / 20) * np.sin(2 * np.pi * hz * times) + noise


def steady(hz=1000.0, level_db=-12.0, seconds=2.5, rate=RATE):
    return growing(hz, 0.0, seconds, rate, level_db)


def as_sent(samples):
    return np.round(np.clip(samples, -1, 1) * 32_767).astype("<i2").tobytes()


@pytest.fixture
def stage(site, client):
    site.place = factories.processor_place(
        site.event, factories.processor(filters_per_output=8), name="Rack control"
    )
    site.microphone = StageMicrophone.objects.create(event=site.event, name="Lectern")
    site.ring_out = RingOut.objects.create(
        event=site.event, processor_place=site.place, outputs=[1, 2], notches=4, reserve=2
    )
    client.force_login(site.tech)
    return site


def heard(client, site, samples, rate=RATE, known="", ear="", **more):
    address = reverse("tuning:listening_heard", args=[site.event.pk])
    body = samples if isinstance(samples, bytes) else as_sent(samples)
    return client.post(
        f"{address}?rate={rate}&known={known}&ear={ear}",
        body,
        content_type="application/octet-stream",
        **more,
    )


def tap(client, site, hz="1000", **more):
    address = reverse("tuning:listening_notch", args=[site.event.pk])
    return client.post(address, {"frequency_hz": hz, "microphone": ""} | more).json()


def test_the_page_cautions_before_it_listens(client, stage):
    text = client.get(reverse("tuning:listening", args=[stage.event.pk])).text
    assert text.index("can harm hearing") < text.index("Listen</button>")
    assert "Lectern" in text and "0 placed, 2 more at sound check, 2 in reserve" in text


@pytest.mark.parametrize("rate", [16_000, 22_050, 24_000, 48_000])
def test_a_tone_that_grows_is_named(client, stage, rate):
    (tone,) = heard(client, stage, growing(rate=rate), rate).json()["tones"]
    assert tone["hz"] == pytest.approx(1000, abs=1) and tone["sounds"]
    assert tone["growth_db_per_s"] == pytest.approx(30, abs=3)
    assert 0.5 < tone["since_s"] < 2.5 and tone["notch"] is None


def test_a_close_pair_is_two(client, stage):
    # The trap of twin rings: 212 and 226 Hz.
    tones = heard(client, stage, growing(212) + growing(226, top_db=-15)).json()["tones"]
    assert [round(tone["hz"]) for tone in tones] == [212, 226]


def test_a_known_tone_sounds_on_though_it_grows_no_more(client, stage):
    answer = heard(client, stage, steady(), known="1001.0,2500.0").json()
    assert [(tone["hz"], tone["sounds"]) for tone in answer["tones"]] == [
        (1001, True), (2500, False),
    ]  # fmt: skip
    assert heard(client, stage, steady()).json()["tones"] == []
    assert answer["stands_out"] == pytest.approx(1000, abs=1)


def test_silence_is_told_and_a_hum_is_no_feedback(client, stage):
    answer = heard(client, stage, np.zeros(RATE)).json()
    assert answer["silent"] and answer["tones"] == [] and answer["stands_out"] is None
    hum = sum(steady(50.0 * n, -20 - 3 * n) for n in range(1, 8))
    answer = heard(client, stage, hum).json()
    assert answer["tones"] == [] and not answer["silent"]


def test_clipped_music_is_no_feedback(client, stage):
    rng = np.random.default_rng(3)
    assert (
        heard(client, stage, np.clip(9 * rng.standard_normal(60_000), -1, 1)).json()["tones"] == []
    )


@pytest.mark.parametrize(
    ("body", "rate", "known", "words"),
    [
        (b"", RATE, "", "no whole samples"),
        (b"abc", RATE, "", "no whole samples"),
        (b"\0\0", 8000, "", "16 to 48 kHz"),
        (b"\0\0", "many", "", "16 to 48 kHz"),
        (b"\0" * 2 * 4 * RATE, RATE, "", "more than 3 s"),
        (b"\0\0", RATE, "a", "no numbers"),
        (b"\0\0", RATE, "nan", "more tones"),
        (b"\0\0", RATE, ",".join(["1000"] * 25), "more tones"),
    ],
)
def test_what_can_be_no_sound_is_refused_in_words(client, stage, body, rate, known, words):
    answer = heard(client, stage, body, rate, known)
    assert answer.status_code == 400 and words in answer.json()["says"]


def test_an_ear_that_no_answer_named_is_refused(client, stage):
    answer = heard(client, stage, steady(), ear="../../x")
    assert answer.status_code == 400 and "from nowhere" in answer.json()["says"]


def test_one_sample_is_too_little_and_no_fault(client, stage):
    assert heard(client, stage, b"\0\1").json()["tones"] == []


def test_too_much_is_refused_before_it_is_read(client, stage):
    answer = heard(client, stage, b"\0" * 400_000, 48_000)
    assert answer.status_code == 413 and "too much" in answer.json()["says"]


def in_parts(client, site, samples, seconds=0.3):
    """As a phone sends it: each part goes on where the answer before said."""
    ear, answers = "", []
    for start in range(0, len(samples), int(seconds * RATE)):
        part = samples[start : start + int(seconds * RATE)]
        answers.append(heard(client, site, part, ear=ear).json())
        ear = answers[-1]["ear"]
    return answers


def test_a_tone_is_heard_across_the_parts_that_a_phone_sends(client, stage):
    answers = in_parts(client, stage, growing())
    named = [at for at, answer in enumerate(answers) if answer["tones"]]
    assert named and named == list(range(named[0], len(answers)))  # once called it stays
    last = answers[-1]["tones"][0]
    assert last["hz"] == pytest.approx(1000, abs=1) and last["since_s"] > 1
    # Each part for itself is too short to hear anything grow.
    assert not any(heard(client, stage, growing()[at : at + 7200]).json()["tones"]
                   for at in range(0, 60_000, 7200))  # fmt: skip


def test_an_answer_that_was_lost_is_asked_for_again(client, stage):
    row = growing()
    first = heard(client, stage, row[:24_000]).json()["ear"]
    heard(client, stage, row[24_000:36_000], ear=first)  # lost on its way back
    again = heard(client, stage, row[24_000:], ear=first).json()
    assert [tone["growth_db_per_s"] for tone in again["tones"]] == [pytest.approx(30, abs=3)]


def test_nobody_goes_on_where_an_other_one_listens(client, stage):
    ear = heard(client, stage, growing()).json()["ear"]
    assert heard(client, stage, steady(seconds=0.3), ear=ear).json()["tones"]
    client.force_login(factories.person(rights.SYSTEM_TECH))
    assert heard(client, stage, steady(seconds=0.3), ear=ear).json()["tones"] == []
    assert heard(client, stage, growing(), ear="f" * 32).json()["tones"]


def test_where_nothing_is_remembered_it_says_so(client, stage, monkeypatch):
    def away(*args):
        raise RedisError("gone")

    monkeypatch.setattr("rigs.tuning.analyse.ears.cache.set", away)
    answer = heard(client, stage, growing())
    assert answer.status_code == 503 and "nothing is listened to" in answer.json()["says"]


def test_without_the_forms_mark_nothing_is_taken(stage):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(stage.tech)
    assert heard(strict, stage, steady()).status_code == 403
    assert "placed" not in str(
        strict.post(reverse("tuning:listening_notch", args=[stage.event.pk]))
    )
    assert not RingNotch.objects.exists()


def test_a_tap_places_the_usual_notch_and_says_where_to_dial_it(client, stage):
    answer = tap(client, stage, "1000", microphone=stage.microphone.pk)
    assert (
        answer["placed"] and "Rack control, outputs 1, 2: 1000 Hz, -6 dB, Q 8.6" in answer["says"]
    )
    assert answer["sheet"].startswith("1 placed, 1 more")
    notch = RingNotch.objects.get()
    assert (notch.origin, notch.microphone, notch.made_by) == (
        "heard",
        stage.microphone,
        stage.tech,
    )
    (tone,) = heard(client, stage, growing(1010)).json()["tones"]
    assert "on the sheet, and not set" in tone["notch"]  # 1/6 octave reaches from 944 to 1059 Hz
    (tone,) = heard(client, stage, growing(1080)).json()["tones"]
    assert tone["notch"] is None


def test_for_music_the_notch_is_narrower(client, stage):
    RingOut.objects.update(material="music")
    assert tap(client, stage)["placed"]
    # 1/10 octave between half-gain edges: Q = 1 / (2 sinh(ln 2 / 20)) = 14.4 (MATH).
    assert RingNotch.objects.get().q == pytest.approx(14.4, abs=0.05)


def test_the_reserve_is_offered_and_never_taken_by_itself(client, stage):
    tap(client, stage, "300")
    tap(client, stage, "500")
    answer = tap(client, stage, "800")
    assert not answer["placed"] and answer["reserve"] and "kept free" in answer["says"]
    assert tap(client, stage, "800", from_reserve="on")["placed"]
    tap(client, stage, "1300", from_reserve="on")
    answer = tap(client, stage, "2000", from_reserve="on")
    assert not answer["placed"] and not answer["reserve"] and "All 4 notches" in answer["says"]


@pytest.mark.parametrize("hz", ["", "loud", "5", "1e9", "nan"])
def test_a_tap_on_nonsense_places_nothing(client, stage, hz):
    answer = tap(client, stage, hz)
    assert not answer["placed"] and answer["says"] and not RingNotch.objects.exists()


def test_without_a_ring_out_it_says_what_is_missing(client, stage):
    stage.ring_out.delete()
    answer = tap(client, stage)
    assert not answer["placed"] and "which outputs get the notches" in answer["says"]
    assert (
        "none can be placed" in client.get(reverse("tuning:listening", args=[stage.event.pk])).text
    )


def page_of(client, site, samples, rate=48_000):
    row = kept(site, wav(samples, rate), content="other")
    return client.get(reverse("tuning:recording_listen", args=[site.event.pk, row.pk]))


def test_a_recording_is_listened_through_and_its_tone_is_one_tap_from_the_sheet(client, stage):
    loud = np.concatenate([growing(rate=48_000), steady(seconds=1.0, rate=48_000)])
    text = page_of(client, stage, loud).text
    assert "1000 Hz</h2>" in text and "30 dB a second" in text and "Place notch" in text
    data = {"frequency_hz": "1000.0", "gain_db": "-6", "octaves": "0.167", "origin": "heard"}
    client.post(reverse("tuning:notch_new", args=[stage.event.pk]), data)
    assert RingNotch.objects.get().origin == "heard"
    text = page_of(client, stage, loud[:-1]).text
    assert "on the sheet, and not set" in text and "Place notch" not in text


def test_crew_read_a_recordings_tones_and_place_nothing(client, stage):
    client.force_login(factories.person(rights.CREW))
    text = page_of(client, stage, growing(rate=48_000)).text
    assert "1000 Hz</h2>" in text and "Place notch" not in text


def test_a_recording_without_feedback_is_no_proof(client, stage):
    text = page_of(client, stage, steady(rate=48_000)).text
    assert "No feedback was heard in it" in text and "no proof" in text


def test_a_long_recording_is_not_listened_to_in_silence(client, stage, monkeypatch):
    monkeypatch.setattr("rigs.tuning.analyse.listening.MOST_S", 1.0)
    assert "Only its first" in page_of(client, stage, growing(rate=48_000)).text


def test_a_lost_file_cannot_be_checked(client, stage):
    row = kept(stage, wav(steady(rate=48_000), 48_000), content="other")
    row.file.delete(save=False)
    address = reverse("tuning:recording_listen", args=[stage.event.pk, row.pk])
    assert "cannot check" in client.get(address).text
