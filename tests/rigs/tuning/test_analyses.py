"""Analyses: jobs, and results against sound whose properties are known beforehand."""

import numpy as np
import pytest
from celery import current_app
from django.urls import reverse

from rigs.jobs.claims import claim
from rigs.tuning import analyses, queries
from rigs.tuning.actions import ask_analysis
from rigs.tuning.analyse.found import spot_response
from rigs.tuning.models import Analysis, Calibration, Recording
from rigs.tuning.signals import played
from rigs.tuning.tasks import analyse, requeue_analyses
from tests.rigs.tuning.rooms import RATE_HZ, heard, room
from tests.rigs.tuning.sounds import sine, wav
from tests.rigs.tuning.test_recordings import kept

pytestmark = pytest.mark.django_db

SWEEP, NOISE = "sweep-5", "noise-15"


def found_in(site, samples, rate_hz=RATE_HZ, **fields) -> Analysis:
    """The analysis of a recording of these samples, done."""
    row = kept(site, wav(samples, rate_hz, 24), **fields)
    analyse(row.analyses.get().pk)
    return row.analyses.get()


def refusals(analysis: Analysis) -> dict[str, str]:
    return {each["what"]: each["why"] for each in analysis.result["refused"]}


def test_an_analysis_is_asked_for_when_a_recording_is_kept(
    site, monkeypatch, django_capture_on_commit_callbacks
):
    queued = []
    monkeypatch.setattr("rigs.tuning.tasks.enqueue_analysis", queued.append)
    with django_capture_on_commit_callbacks(execute=True):
        row = kept(site)
    assert queued == [row.analyses.get().pk]
    assert row.analyses.get().asked_by == site.tech


def test_the_same_input_is_one_analysis_until_the_calibration_changes(site):
    microphone = Calibration.objects.create(
        name="M 1", curve={"frequency_hz": [20.0, 20000.0], "level_db": [0.0, 0.0]}
    )
    row = kept(site, calibration=microphone)
    assert ask_analysis(row, site.tech) == row.analyses.get()
    microphone.curve = {"frequency_hz": [20.0, 20000.0], "level_db": [1.0, 1.0]}
    microphone.save()
    row.refresh_from_db()
    ask_analysis(row, site.tech)
    assert row.analyses.count() == 2


def test_one_that_failed_is_tried_again(site):
    row = kept(site)
    Analysis.objects.update(state="failed", fault="Broke.", attempts=3)
    again = ask_analysis(row, site.tech)
    assert (again.state, again.attempts, again.fault) == ("waiting", 0, "")


def test_levels_of_a_sine_are_those_of_its_rms(site):
    analysis = found_in(site, sine(-10.0, 1000.0, 6.0), content="other", sensitivity_db=120.0)
    levels = analysis.result["levels"]
    # A sine's rms lies 3.01 dB below its peak; at 1 kHz A and C weighting are 0 dB (MATH).
    assert levels["z_db"] == pytest.approx(120 - 10 - 3.01, abs=0.02)
    assert levels["a_db"] == pytest.approx(levels["z_db"], abs=0.02)
    band = levels["level_db"][[round(hz) for hz in levels["frequency_hz"]].index(1000)]
    assert band == pytest.approx(levels["z_db"], abs=0.1)
    assert levels["unit"] == "dB SPL"


def test_a_sweep_gives_the_decay_that_was_put_in(site):
    analysis = found_in(site, heard(SWEEP, room(decay_s=0.8)), played=played(SWEEP))
    assert analysis.state == "done", analysis.fault
    bands = {round(band["frequency_hz"]): band for band in analysis.result["decays"]}
    for hz in (1000, 1995, 3981):
        band = bands[hz]
        assert band["t30_s"] == pytest.approx(0.8, abs=max(0.04, band["uncertainty_s"]))
    assert analysis.result["speech"]["index"] is not None
    assert analysis.result["response"]["peak_db"]


def test_the_noise_of_the_space_lowers_the_speech_index(site):
    """Noise about as loud as the speech halves its modulation (MATH): no index of 0.6 is left."""
    quiet = found_in(site, heard(SWEEP, room(decay_s=0.8)), played=played(SWEEP)).result["speech"]
    assert "upper bound" in quiet["warnings"][0]
    space = site.event.space
    space.noise_db = [80.0, 80.0, 76.0, 70.0, 64.0, 58.0, 52.0]
    space.save()
    row = Recording.objects.get()
    again = ask_analysis(row, site.tech)
    analyse(again.pk)
    again.refresh_from_db()
    loud = again.result["speech"]
    assert loud["index"] < 0.6 and loud["index"] < quiet["index"]
    assert "the noise that the venue's page says" in loud["warnings"][-1]


def test_sweep_and_noise_find_the_same_level_between_played_and_heard(site):
    place = room(decay_s=0.5)
    by_sweep = found_in(site, heard(SWEEP, place), played=played(SWEEP)).result
    by_noise = found_in(site, heard(NOISE, place), content="noise", played=played(NOISE)).result
    pairs = [
        (a, b)
        for a, b, ok in zip(
            by_sweep["transfer"]["level_db"],
            by_noise["transfer"]["level_db"],
            by_noise["transfer"]["usable"],
            strict=True,
        )
        if ok
    ]
    assert len(pairs) > 90
    assert np.median([abs(a - b) for a, b in pairs]) < 0.5


@pytest.mark.parametrize("content", ["sweep", "noise"])
def test_the_delay_is_found_where_the_played_signal_was_recorded_too(site, content):
    key = SWEEP if content == "sweep" else NOISE
    place = room(delay_s=0.0125)
    mic = heard(key, place)
    both = np.zeros((len(mic), 2))
    both[:, 0] = mic
    unit = np.zeros(10)
    unit[0] = 1.0
    sent = heard(key, unit, noise=0.0)
    both[: len(sent), 1] = sent[: len(mic)]
    result = found_in(site, both, content=content, reference_channel=2).result
    assert result["delay_ms"] == pytest.approx(12.5, abs=0.02)


def test_without_a_common_clock_there_is_no_delay(site):
    analysis = found_in(site, heard(SWEEP, room()), played=played(SWEEP))
    assert analysis.result["delay_ms"] is None
    assert "did not share a clock" in refusals(analysis)["delay"]


def test_without_a_reference_there_are_levels_and_no_transfer(site):
    analysis = found_in(site, heard(SWEEP, room()))
    assert analysis.result["levels"]["z_db"] < 0
    assert "not known what was played" in refusals(analysis)["transfer function"]
    assert analysis.result["spot"] is None


def test_clipping_refuses_everything(site):
    loud = np.clip(heard(SWEEP, room(), level=8.0), -1, 1)
    analysis = found_in(site, loud, played=played(SWEEP))
    assert "clips" in refusals(analysis)["everything"]
    assert analysis.result["levels"] is None


def test_a_silent_recording_is_refused(site):
    faint = heard(SWEEP, room(), level=1e-6, noise=1e-6)
    analysis = found_in(site, faint, played=played(SWEEP))
    assert "silent" in refusals(analysis)["everything"]


def test_another_signal_than_was_said_is_not_believed(site):
    other = 0.1 * np.random.default_rng(1).standard_normal(12 * RATE_HZ)
    analysis = found_in(site, other, played=played(SWEEP))
    assert "is not found" in refusals(analysis)["impulse response"]
    assert analysis.result["transfer"] is None


def test_noise_at_another_rate_is_refused_in_words(site):
    analysis = found_in(site, heard(NOISE, room()), 44_100, content="noise", played=played(NOISE))
    assert "record at the same rate" in refusals(analysis)["transfer function"]


def test_background_tells_its_levels_and_how_steady_it_is(site):
    noise = 0.01 * np.random.default_rng(2).standard_normal(12 * RATE_HZ)
    analysis = found_in(site, noise, content="background", spot=None)
    assert analysis.result["noise"]["swing_db"] < 1
    # White noise of rms 0.01 is 40 dB below full scale (MATH); what lies below 10 Hz is nothing.
    assert analysis.result["levels"]["z_db"] == pytest.approx(-40.0, abs=0.1)


def test_a_lost_file_fails_in_words(site):
    row = kept(site)
    row.file.storage.delete(row.file.name)
    analyses.work(claim(Analysis, row.analyses.get().pk))
    assert "The file of this recording is lost" in row.analyses.get().fault


def test_a_result_gives_the_spot_that_a_fit_reads(site):
    result = found_in(site, heard(SWEEP, room()), played=played(SWEEP)).result
    spot = spot_response(result, "Mix", 2.0)
    assert (spot.name, spot.weight) == ("Mix", 2.0)
    assert sum(value is not None for value in spot.level_db) > 100
    assert queries.latest_analyses(site.event)[0].recording.spot == site.spot


def test_the_worker_takes_up_waiting_analyses():
    wanted = current_app.conf.beat_schedule["requeue-analyses"]["task"]
    assert requeue_analyses.name == wanted


def page_of(client, site, row):
    client.force_login(site.tech)
    return client.get(reverse("tuning:recording", args=[site.event.pk, row.pk])).text


def test_the_page_waits_then_shows_the_result(client, site):
    row = kept(site, wav(heard(SWEEP, room()), bits=24), played=played(SWEEP))
    assert "waiting for a worker" in page_of(client, site, row)
    analyse(row.analyses.get().pk)
    text = page_of(client, site, row)
    for words in ("Speech index", "Decay times by octave", "Coherence", "did not share a clock"):
        assert words in text
    assert "waiting for a worker" not in text


def test_a_failed_analysis_says_why_and_can_be_asked_for_again(client, site):
    row = kept(site)
    Analysis.objects.update(state="failed", fault="The worker broke.")
    assert "The worker broke." in page_of(client, site, row)
    url = reverse("tuning:recording_analyse", args=[site.event.pk, row.pk])
    assert client.post(url).status_code == 302
    assert row.analyses.get().state == "waiting"


def test_a_changed_calibration_makes_the_result_out_of_date(client, site):
    microphone = Calibration.objects.create(
        name="M 1", curve={"frequency_hz": [20.0, 20000.0], "level_db": [0.0, 0.0]}
    )
    analysis = found_in(site, sine(-10, 500, 6), content="other", calibration=microphone)
    assert "not up to date" not in page_of(client, site, analysis.recording)
    microphone.curve["level_db"] = [1.0, 2.0]
    microphone.save()
    assert "not up to date" in page_of(client, site, analysis.recording)
