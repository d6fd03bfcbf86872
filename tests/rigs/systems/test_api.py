"""The stateless check for other programs."""

import json

import pytest

from calc.check import check
from calc.serialise import prediction_from_plain, to_plain
from rigs.systems import api
from rigs.systems.describe import describe
from tests import factories

pytestmark = pytest.mark.django_db
URL = "/api/check/"


def send(client, data):
    body = data if isinstance(data, str) else json.dumps(data)
    return client.post(URL, body, content_type="application/json")


def test_a_description_comes_back_as_its_prediction(rig):
    rig.line(name="Tops")
    factories.area(space=rig.event.space)
    system = describe(rig.event)
    response = send(rig.client, to_plain(system))
    assert response.status_code == 200
    assert prediction_from_plain(response.json()) == check(system)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"format": 9}, "format: must be 2"),
        ({"event": 5}, "event: must be text"),
        ({"drive_lines": [{}]}, "drive_lines[0].name: is missing"),
        ({"nonsense": 1}, "unknown field 'nonsense'"),
        ({"choices": {"crest_factor_db": 99}}, "crest_factor_db must lie between"),
    ],
)
def test_faults_come_as_sentences_with_their_place(rig, change, words):
    response = send(rig.client, to_plain(describe(rig.event)) | change)
    assert response.status_code == 400
    assert words in " ".join(response.json()["errors"])


@pytest.mark.parametrize("body", ["", "{", "[]", "[" * 100_000, "null", '"text"', "NaN"])
def test_what_is_no_description_is_refused(rig, body):
    response = send(rig.client, body)
    assert response.status_code == 400 and response.json()["errors"]


def test_a_body_that_is_too_large_is_not_read(rig):
    response = send(rig.client, '{"event": "' + "x" * api.LARGEST_BODY + '"}')
    assert "at most 1,000,000 bytes" in response.json()["errors"][0]


def test_a_map_that_would_take_minutes_is_refused(rig):
    plain = to_plain(describe(rig.event))
    plain["areas"] = [
        {
            "name": "Field",
            "corners": [[0, 0], [900, 0], [900, 900], [0, 900]],
            "floor_z_m": 0,
            "ear_height_m": 1.6,
        }
    ]
    response = send(rig.client, plain)
    assert response.status_code == 400
    assert "Choose a wider grid" in response.json()["errors"][0]


def test_nobody_checks_without_an_account(client):
    assert send(client, {}).status_code in (302, 401, 403)
