"""`manage.py recompute FILE`: the same figures from the downloaded description."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from rigs.packets.downloads import description_file
from tests.rigs.packets.rigs import event_with_rig, made_packet

pytestmark = pytest.mark.django_db


def recompute(path, *options: str) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    call_command("recompute", str(path), *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


@pytest.fixture
def run():
    return made_packet(event_with_rig(3)).run


@pytest.fixture
def file(run, tmp_path):
    path = tmp_path / "description.json"
    path.write_text(json.dumps(description_file(run)))
    return path


def test_the_same_figures_to_the_last_digit(run, file):
    out, err = recompute(file, "--json")
    assert json.loads(out) == run.prediction
    assert err == ""


def test_a_bare_description_does_as_well(run, tmp_path):
    path = tmp_path / "bare.json"
    path.write_text(json.dumps(run.description))
    assert json.loads(recompute(path, "--json")[0]) == run.prediction


def test_the_table_names_lines_and_areas(run, file):
    out, _ = recompute(file)
    assert run.fingerprint in out
    for name in ("Line 1", "Line 2", "Line 3", "Floor"):
        assert name in out


def test_a_file_that_was_changed_is_said(file):
    data = json.loads(file.read_text())
    data["description"]["surroundings"]["temperature_c"] = 35.0
    file.write_text(json.dumps(data))
    assert "fingerprint differs" in recompute(file)[1]


def test_a_file_of_other_sums_is_said(file):
    data = json.loads(file.read_text()) | {"calc_version": "0.1"}
    file.write_text(json.dumps(data))
    assert "version 0.1" in recompute(file)[1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "not a JSON file"),
        ("[]", "must be an object"),
        ("{}", "format: is missing"),
        ('{"format": 1}', "event: is missing"),
        ('{"format": 1, "event": NaN}', "NaN"),
        ('{"description": {"format": 1, "event": "x", "extra": 1}}', "unknown field"),
        ('{"description": {"format": 99, "event": "x"}}', "format: must be"),
        ('{"fingerprint": 5, "description": {"format": 1, "event": "x"}}', "fingerprint"),
        ("[" * 100_000, "not a JSON file"),
    ],
)
def test_a_hostile_file_is_refused_with_a_sentence(tmp_path, text, words):
    path = tmp_path / "bad.json"
    path.write_text(text)
    with pytest.raises(CommandError, match=words):
        recompute(path)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(CommandError, match="can't be read"):
        recompute(tmp_path / "nothing.json")
