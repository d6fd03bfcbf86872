"""Pages of recordings, test signals and calibrations."""

import io
import json
import re

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from rigs.people import rights
from rigs.tuning import incoming
from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.models import Calibration, Recording
from rigs.tuning.wav import blocks, read_header
from tests import factories
from tests.rigs.tuning.sounds import float_wav, sine, wav
from tests.rigs.tuning.test_recordings import kept, stored

pytestmark = pytest.mark.django_db

CURVE = {"frequency_hz": [20.0, 20000.0], "level_db": [0.0, 1.0]}


@pytest.fixture
def tech(client, site):
    client.force_login(site.tech)
    return client


def sound(content: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile("mix.wav", content or wav(sine()), "audio/wav")


def send(client, site, **fields):
    url = reverse("tuning:recording_new", args=[site.event.pk])
    values = {"content": "sweep", "spot": site.spot.pk, "sound": sound()} | fields
    return client.post(url, {k: v for k, v in values.items() if v is not None})


def waiting_of(page) -> str:
    return re.search(r'name="waiting" value="([^"]*)"', page.text)[1]


def test_an_upload_is_kept_with_all_that_was_said(tech, site):
    microphone = Calibration.objects.create(name="M 1", curve=CURVE)
    page = send(
        tech, site, calibration=microphone.pk, sensitivity_db="124.5", note="doors open",
        lines=[line.pk for line in site.lines], signal="sweep-10",
    )  # fmt: skip
    assert page.status_code == 302
    row = Recording.objects.get()
    assert (row.source, row.calibration, row.sensitivity_db) == ("uploaded", microphone, 124.5)
    assert row.played["kind"] == "sweep"
    assert row.played["seconds"] == 10
    shown = tech.get(page.url).text
    assert "Exponential sweep, 10 s" in shown or "exponential sweep, 10 s" in shown
    assert "-6.0 dB" in shown
    assert "doors open" in shown


def test_clipping_and_quiet_are_said_at_once_and_in_the_list(tech, site):
    page = send(tech, site, sound=sound(wav(np.clip(sine(6.0), -1, 1))))
    assert "clips in" in tech.get(page.url).text
    page = send(tech, site, sound=sound(wav(sine(-50.0))))
    assert "50 dB below full scale" in tech.get(page.url).text


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"sound": None}, "Choose a WAV file"),
        ({"sound": sound(b"words")}, "no WAV file"),
        ({"sound": sound(wav(np.zeros(100)))}, "only silence"),
        ({"spot": ""}, "at which listening spot"),
        ({"content": ""}, "Fill this in"),
        ({"sensitivity_db": "loud"}, "Give a number"),
        ({"reference_channel": 2}, "The file has one channel"),
        ({"signal": "noise-15"}, "This is not what was played"),
        ({"signal": "whistle"}, "whistle is not one of the choices"),
        ({"captured": '{"autoGainControl": true}'}, "Automatic gain was on"),
        ({"captured": "[" * 400}, "did not say how it recorded"),
    ],
)
def test_a_fault_is_said_by_its_field_and_nothing_is_kept(tech, site, fields, sentence):
    page = send(tech, site, note="my own words", **fields)
    assert page.status_code == 200
    assert sentence in page.text
    assert "my own words" in page.text
    assert not Recording.objects.exists()


def test_a_good_file_survives_a_fault_elsewhere(tech, site, files):
    page = send(tech, site, spot="")
    assert "no need to send it again" in page.text
    assert "mix.wav" in page.text
    again = send(tech, site, sound=None, waiting=waiting_of(page))
    assert again.status_code == 302
    assert Recording.objects.get().frames == 24_000
    assert len(stored(files)) == 1  # moved, not copied


def test_it_survives_two_faults(tech, site, files):
    page = send(tech, site, spot="")
    page = send(tech, site, spot="", sound=None, waiting=waiting_of(page))
    assert send(tech, site, sound=None, waiting=waiting_of(page)).status_code == 302
    assert len(stored(files)) == 1


def test_what_was_put_aside_is_nobody_elses(tech, site, client):
    page = send(tech, site, spot="")
    client.force_login(factories.person(rights.SYSTEM_TECH, "another"))
    again = send(client, site, sound=None, waiting=waiting_of(page))
    assert "not here any more" in again.text


def test_a_made_up_token_finds_nothing(tech, site):
    page = send(tech, site, sound=None, waiting="../../etc/passwd")
    assert "not here any more" in page.text


def test_what_nobody_came_back_for_is_swept_away(tech, site, files, monkeypatch):
    send(tech, site, spot="")
    monkeypatch.setattr(incoming, "KEPT_SECONDS", -1)
    send(tech, site, spot="", sound=sound(wav(sine(-9.0))))
    assert len(stored(files)) == 1


def test_a_file_that_is_too_large_is_dropped_while_it_comes(tech, site, files, monkeypatch):
    monkeypatch.setattr(incoming, "MOST_BYTES", 10_000)
    page = send(tech, site, note="my own words")
    assert "more than 200 MB" in page.text
    assert "my own words" in page.text
    assert stored(files) == []


def test_an_upload_goes_to_disk_whatever_its_size(tech, site, monkeypatch):
    seen = []
    monkeypatch.setattr(
        "rigs.tuning.forms.recording.read_sound", lambda file: seen.append(file) or 1 / 0
    )
    with pytest.raises(ZeroDivisionError):
        send(tech, site)
    assert hasattr(seen[0], "name")  # a file of the file system, not of memory


def test_the_forms_mark_is_asked_for(site):
    from django.test import Client

    strict = Client(enforce_csrf_checks=True)
    strict.force_login(site.tech)
    assert send(strict, site).status_code == 403
    assert not Recording.objects.exists()


def test_a_browsers_recording_says_what_is_not_known(tech, site):
    captured = {"echoCancellation": False, "noiseSuppression": None, "input_hz": 44100}
    url = reverse("tuning:recording_new", args=[site.event.pk])
    values = {"content": "sweep", "spot": site.spot.pk, "captured": json.dumps(captured)}
    answer = tech.post(
        url, values | {"sound": sound(float_wav(sine()))}, headers={"HX-Request": "true"}
    )
    home = reverse("tuning:event", args=[site.event.pk])
    assert answer["HX-Redirect"] == home
    assert Recording.objects.get().source == "recorded"
    page = tech.get(home).text
    assert "doesn&#x27;t say whether noise suppression and automatic gain was off" in page
    assert "The input ran at 44100 Hz; the browser made 48000 Hz of it." in page


def test_the_list_costs_the_same_for_any_number(tech, site, django_assert_num_queries):
    home = reverse("tuning:event", args=[site.event.pk])
    kept(site, lines=site.lines)
    tech.get(home)
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(
        connection,
    ) as one:
        tech.get(home)
    for level in (-7.0, -8.0, -9.0):
        spot = factories.spot(site.event)
        kept(site, wav(sine(level)), spot=spot, lines=site.lines)
    with django_assert_num_queries(len(one)):
        tech.get(home)


def test_removing_asks_first(tech, site, files, django_capture_on_commit_callbacks):
    row = kept(site)
    url = reverse("tuning:recording_remove", args=[site.event.pk, row.pk])
    assert "can&#x27;t be undone" in tech.get(url).text or "can't be undone" in tech.get(url).text
    with django_capture_on_commit_callbacks(execute=True):
        assert tech.post(url).status_code == 302
    assert stored(files) == []
    assert tech.get(url, follow=True).status_code == 200  # gone already: said, not broken


def test_crew_looks_and_changes_nothing(client, site):
    row = kept(site)
    client.force_login(factories.person(rights.CREW))
    page = client.get(reverse("tuning:event", args=[site.event.pk]))
    assert page.status_code == 200
    assert "recordings/new" not in page.text
    assert "remove" not in page.text
    heard = client.get(reverse("tuning:recording_sound", args=[site.event.pk, row.pk]))
    assert heard.status_code == 200
    assert send(client, site).status_code == 403


def test_a_recording_is_read_back_whole_or_in_parts(tech, site):
    row = kept(site)
    url = reverse("tuning:recording_sound", args=[site.event.pk, row.pk])
    whole = b"".join(tech.get(url).streaming_content)
    assert whole == wav(sine())
    part = tech.get(url, headers={"Range": "bytes=100-199"})
    assert part.status_code == 206
    assert part.content == whole[100:200]
    assert part["Content-Range"] == f"bytes 100-199/{len(whole)}"
    assert tech.get(url, headers={"Range": f"bytes={len(whole)}-"}).status_code == 416


def test_a_recording_of_another_event_is_not_found(tech, site):
    row = kept(site)
    other = factories.event()
    assert tech.get(reverse("tuning:recording_sound", args=[other.pk, row.pk])).status_code == 404


@pytest.mark.parametrize(("key", "rms_db"), [("sweep-5", -12.0), ("noise-15", -20.0)])
def test_a_test_signal_rises_from_silence_and_can_be_read_again(tech, site, key, rms_db, tmp_path):
    url = reverse("tuning:signal_sound", args=[site.event.pk, key])
    content = tech.get(url).content
    assert tech.get(url).content == content
    path = tmp_path / "signal.wav"
    path.write_bytes(content)
    with path.open("rb") as file:
        header = read_header(file)
        samples = np.concatenate(list(blocks(file, header)))[:, 0]
    assert (header.bits, header.rate_hz) == (24, 48_000)
    assert np.abs(samples[:480]).max() < 1e-3  # the first 10 ms are all but silent
    proper = samples[2 * 48_000 : 2 * 48_000 + int(key.split("-")[1]) * 48_000]
    assert 10 * np.log10(np.mean(proper.astype(float) ** 2)) == pytest.approx(rms_db, abs=0.3)
    assert np.abs(samples).max() < 1


@pytest.mark.parametrize("key", ["sweep-5", "noise-15"])
def test_what_was_played_is_made_again_from_what_was_stored(tech, site, key):
    content = "sweep" if key.startswith("sweep") else "noise"
    send(tech, site, content=content, signal=key)
    again = signal_of(Recording.objects.get().played)
    url = reverse("tuning:signal_sound", args=[site.event.pk, key])
    file = io.BytesIO(tech.get(url).content)
    heard = np.concatenate(list(blocks(file, read_header(file))))[:, 0]
    assert again.samples.shape == heard.shape
    assert np.abs(again.samples - heard).max() < 2**-22  # what 24 bits leave


def test_an_unknown_signal_is_not_found(tech, site):
    url = reverse("tuning:signal_sound", args=[site.event.pk, "siren"])
    assert tech.get(url).status_code == 404


def test_the_signals_page_cautions_and_offers_each(tech, site):
    page = tech.get(reverse("tuning:signals", args=[site.event.pk])).text
    assert "harm hearing" in page
    assert page.count("<audio") == 6


class TestCalibrations:
    def add(self, client, **fields):
        values = {"name": "M 1", "table": "20, 0\n20000, 1"} | fields
        return client.post(reverse("tuning:calibration_new"), values)

    def test_pasted_or_uploaded_it_is_kept(self, tech):
        assert self.add(tech).status_code == 302
        file = SimpleUploadedFile("m2.txt", b"20 0\n20000 1\n")
        assert self.add(tech, name="M 2", table="", file=file).status_code == 302
        assert [row.curve for row in Calibration.objects.all()] == [CURVE, CURVE]
        assert "20 Hz to 20 kHz, 2 points" in tech.get(reverse("tuning:calibrations")).text

    def test_a_bad_file_comes_back_as_lines_to_mend(self, tech):
        page = self.add(tech, file=SimpleUploadedFile("m.csv", b"20, 0\nten, 1"))
        assert "Line 2, “ten, 1”" in page.text
        assert "ten, 1</textarea>" in page.text

    def test_the_same_name_twice_is_refused(self, tech):
        self.add(tech)
        assert "of that name already" in self.add(tech).text

    def test_it_is_renamed_over_the_version_seen(self, tech):
        self.add(tech)
        row = Calibration.objects.get()
        url = reverse("tuning:calibration", args=[row.pk])
        values = {"name": "Left", "table": "20, 0\n20000, 1", "seen": row.version}
        assert tech.post(url, values).status_code == 302
        assert "while you had it open" in tech.post(url, values | {"name": "Right"}).text
        row.refresh_from_db()
        assert row.name == "Left"

    def test_it_is_removed_only_where_nothing_uses_it(self, tech, site):
        self.add(tech)
        row = Calibration.objects.get()
        url = reverse("tuning:calibration_remove", args=[row.pk])
        recording = kept(site, calibration=row)
        assert "must stay" in tech.post(url, {"seen": row.version}).text
        recording.delete()
        assert tech.post(url, {"seen": row.version}).status_code == 302
        assert not Calibration.objects.exists()
