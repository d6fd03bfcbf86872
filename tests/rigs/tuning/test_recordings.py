"""Keeping recordings: the file under its hash, gone with its row, never half kept."""

import hashlib
from pathlib import Path

import numpy as np
import pytest
from django.core.files.base import ContentFile

from rigs.systems.actions import remove_spot
from rigs.systems.faults import NotSaved
from rigs.tuning.actions import keep_recording, remove_recording
from rigs.tuning.look import Look
from rigs.tuning.models import Recording
from tests import factories
from tests.rigs.tuning.sounds import sine, wav

pytestmark = pytest.mark.django_db

CONTENT = wav(sine(-6.0))


def kept(site, raw: bytes = CONTENT, lines=(), **fields) -> Recording:
    values = {"event": site.event, "spot": site.spot, "content": "sweep", "source": "uploaded"}
    row = Recording(**values | fields)
    return keep_recording(row, ContentFile(raw, "a.wav"), lines, person=site.tech)


def stored(files: Path) -> list[str]:
    return sorted(str(path.relative_to(files)) for path in files.rglob("*") if path.is_file())


def test_the_file_lies_under_its_hash_and_its_samples_were_looked_at(site, files):
    row = kept(site, lines=site.lines)
    row.refresh_from_db()
    digest = hashlib.sha256(CONTENT).hexdigest()
    assert stored(files) == [f"recordings/{site.event.pk}/{digest}.wav"]
    assert row.file.read() == CONTENT
    assert (row.rate_hz, row.channels, row.frames) == (48_000, 1, 24_000)
    assert Look.from_plain(row.look).peak_db[0] == pytest.approx(-6.0, abs=0.02)
    assert set(row.lines.all()) == set(site.lines)
    assert row.made_by == site.tech


def test_the_file_goes_with_its_row(site, files, django_capture_on_commit_callbacks):
    row = kept(site)
    with django_capture_on_commit_callbacks(execute=True):
        remove_recording(row)
    assert stored(files) == []


def test_the_files_go_with_the_event(site, files, django_capture_on_commit_callbacks):
    event = factories.event()  # one with drive lines is never deleted at all
    kept(site, event=event, spot=factories.spot(event))
    with django_capture_on_commit_callbacks(execute=True):
        event.delete()
    assert stored(files) == []


def test_the_same_file_twice_is_refused_and_the_first_one_stays(site, files):
    kept(site)
    with pytest.raises(NotSaved) as refusal:
        kept(site)
    assert refusal.value.faults == {"sound": ["This very file is here already."]}
    assert len(stored(files)) == 1


def test_a_race_for_the_same_file_leaves_one(site, files, monkeypatch):
    """The check has passed for both; the database decides, and nothing of the loser stays."""
    kept(site)
    monkeypatch.setattr("rigs.tuning.actions.recordings.faults_of", lambda row: {})
    with pytest.raises(NotSaved, match="here already"):
        kept(site)
    assert len(stored(files)) == 1
    assert Recording.objects.count() == 1


def test_the_same_file_may_come_to_another_event(site):
    kept(site)
    other = factories.event()
    kept(site, event=other, spot=factories.spot(other))
    assert Recording.objects.count() == 2


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"spot": None}, "spot", "at which listening spot"),
        ({"sensitivity_db": 20.0}, "sensitivity_db", "60"),
        ({"reference_channel": 2}, "reference_channel", "one channel"),
        ({"content": "song"}, "content", "not one of the choices|not a valid choice"),
    ],
)
def test_what_cannot_be_is_said_by_its_field(site, files, fields, field, sentence):
    with pytest.raises(NotSaved, match=sentence) as refusal:
        kept(site, **fields)
    assert list(refusal.value.faults) == [field]
    assert stored(files) == []


def test_a_spot_with_recordings_is_not_removed(site):
    kept(site)
    with pytest.raises(NotSaved, match=r"Mix is used by 1 recording\. Remove that first"):
        remove_spot(site.spot, site.spot.version)


def test_background_noise_needs_no_spot(site):
    assert kept(site, spot=None, content="background").spot is None


def test_spots_and_lines_of_another_event_are_refused(site):
    other = factories.event()
    with pytest.raises(NotSaved, match="another event"):
        kept(site, spot=factories.spot(other))
    with pytest.raises(NotSaved, match="another event"):
        kept(site, lines=[factories.line(other, factories.placement(other))])


def test_a_silent_reference_is_refused(site):
    two = np.stack([sine(), 0 * sine()], axis=1)
    with pytest.raises(NotSaved, match="Channel 2 is silent"):
        kept(site, wav(two), reference_channel=2)
    assert kept(site, wav(two), reference_channel=1).reference_channel == 1


def test_what_is_no_sound_is_refused_by_the_file(site, files):
    with pytest.raises(NotSaved) as refusal:
        kept(site, b"a letter")
    assert list(refusal.value.faults) == ["sound"]
    assert stored(files) == []
