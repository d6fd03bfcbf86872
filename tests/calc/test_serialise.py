"""Plain data: there and back, and every fault named."""

import copy
import dataclasses
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check, validate
from calc.figure import UNKNOWN, Figure
from calc.serialise import (
    fingerprint,
    prediction_from_plain,
    system_from_plain,
    to_plain,
)
from tests.calc.builders import boxes_on_one_line, full_system, loudspeaker, system, way

PLAIN, FULL = to_plain(system()), to_plain(full_system())


def changed(path: str, value) -> dict:
    """The plain description with one place changed ("drive_lines.0.mode")."""
    data = copy.deepcopy(PLAIN)
    *steps, last = path.split(".")
    place = data
    for step in steps:
        place = place[int(step)] if isinstance(place, list) else place[step]
    if isinstance(place, list):
        place[int(last)] = value
    else:
        place[last] = value
    return data


@pytest.mark.parametrize("described", [boxes_on_one_line(3), full_system()])
def test_there_and_back(described) -> None:
    assert system_from_plain(json.loads(json.dumps(to_plain(described)))) == described
    prediction = check(described)
    assert prediction_from_plain(json.loads(json.dumps(to_plain(prediction)))) == prediction


def test_a_prediction_of_before_can_still_be_read() -> None:
    """One without the fields that came later: they stand at their defaults."""
    plain = to_plain(check(system()))
    for name in ("supplies", "feeds", "supports"):
        del plain[name]
    for line in plain["lines"]:
        for name in ("runs", "ladder", "cautions", "peak_margin_db", "limiter_basis"):
            del line[name]
    read = prediction_from_plain(plain)
    assert read.supplies == () and read.lines[0].ladder is None


def places(data, path=()):
    """Every place in nested lists and dicts."""
    inner = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in inner:
        yield (*path, key)
        if isinstance(value, (dict, list)):
            yield from places(value, (*path, key))


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=5,
)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(list(places(FULL))), anything), min_size=1, max_size=2))
def test_a_spoilt_file_is_refused_in_words_or_makes_sense(spoilings) -> None:
    """No other error than a ValueError with words, from the file to the last figure."""
    data = copy.deepcopy(FULL)
    for path, value in spoilings:
        place = data
        try:
            for step in path[:-1]:
                place = place[step]
            place[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue  # the first spoiling took the second one's place away
    try:
        described = system_from_plain(data)
        text = json.dumps(to_plain(check(described)), allow_nan=False)
    except ValueError as fault:
        assert str(fault) and "\n" not in str(fault)
    else:
        assert json.loads(text)
        assert system_from_plain(to_plain(described)) == described


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("format", 99, "format: must be 2"),
        ("format", True, "format: must be 2"),
        ("event", 3, "event: must be text"),
        ("event", "x" * 301, "event: must be at most 300 characters"),
        ("event", "a\x00b", "event: has characters that cannot be shown"),
        ("event", "\ud800", "event: has characters that cannot be shown"),
        ("drive_lines.0.mode", "loud", "drive_lines[0].mode: must be one of 'per channel'"),
        ("drive_lines.0.mode", ["bridged"], "drive_lines[0].mode: must be one of"),
        ("drive_lines.0.first_channel", 1.5, "drive_lines[0].first_channel: must be a whole"),
        ("drive_lines.0.first_channel", True, "drive_lines[0].first_channel: must be a number"),
        ("drive_lines.0.links.0.from_amplifier", 1, "links[0].from_amplifier: must be true or"),
        ("drive_lines", {}, "drive_lines: must be a list"),
        ("drive_lines", [PLAIN["drive_lines"][0]] * 501, "drive_lines: must be at most 500"),
        ("placements.0.x_m", math.nan, "placements[0].x_m: must be a finite number"),
        ("placements.0.x_m", math.inf, "placements[0].x_m: must be a finite number"),
        ("placements.0.x_m", 1e300, "placements[0].x_m: must lie within"),
        ("placements.0.x_m", 10**400, "placements[0].x_m: must lie within"),
        ("placements.0.x_m", "3", "placements[0].x_m: must be a number"),
        ("placements.0.x_m", None, "placements[0].x_m: must be a number"),
        ("areas.0.corners.0", [1, 2, 3], "areas[0].corners[0]: must have 2 items"),
        ("areas.0.corners", [[0, 0]] * 201, "areas[0].corners: must be at most 200"),
        ("amplifiers.0.gain_db", 32, "amplifiers[0].gain_db: must be an object"),
        ("amplifiers.0.gain_db", {"value": None, "basis": "measured"}, "unknown exactly when"),
        ("amplifiers.0.gain_db", {"value": 3, "basis": "guess"}, "gain_db.basis: must be one of"),
        ("amplifiers.0.colour", "red", "amplifiers[0]: has an unknown field 'colour'"),
        ("__class__", {}, "description: has an unknown field"),
    ],
)
def test_faults_are_named(path: str, value, words: str) -> None:
    with pytest.raises(ValueError) as fault:
        system_from_plain(changed(path, value))
    assert words in str(fault.value)


@pytest.mark.parametrize("data", [None, [], "x", 3, {"format": 1}])
def test_no_description_at_all(data) -> None:
    with pytest.raises(ValueError):
        system_from_plain(data)


def test_a_missing_field_is_named() -> None:
    data = copy.deepcopy(PLAIN)
    del data["placements"][0]["azimuth_deg"]
    with pytest.raises(ValueError, match=r"placements\[0\].azimuth_deg: is missing"):
        system_from_plain(data)
    del data["format"]
    with pytest.raises(ValueError, match="format: is missing"):
        system_from_plain(data)


def test_fields_with_a_default_may_be_left_out() -> None:
    data = copy.deepcopy(PLAIN)
    del data["loudspeakers"][0]["mass_kg"]
    assert system_from_plain(data).loudspeakers[0].mass_kg == UNKNOWN


def test_fingerprint() -> None:
    """Equal for equal input however it is written, another for any change."""
    described = system()
    assert fingerprint(described) == fingerprint(system_from_plain(PLAIN))
    assert len(fingerprint(described)) == 64
    whole = dataclasses.replace(described, loudspeakers=(loudspeaker(ways=(way(power=400),)),))
    raw = dataclasses.replace(
        whole.loudspeakers[0].ways[0],
        noise_power_w=Figure(400),  # a whole number, same value
    )
    same = dataclasses.replace(
        whole, loudspeakers=(dataclasses.replace(whole.loudspeakers[0], ways=(raw,)),)
    )
    assert fingerprint(same) == fingerprint(whole)
    other = dataclasses.replace(described, loudspeakers=(loudspeaker(ways=(way(power=401),)),))
    assert fingerprint(other) != fingerprint(described)
    measured = Figure(25.0, "measured")
    sheet = dataclasses.replace(described.loudspeakers[0], mass_kg=measured)
    assert fingerprint(dataclasses.replace(described, loudspeakers=(sheet,))) != fingerprint(
        described
    )


def test_not_a_number_is_never_written() -> None:
    sheet = dataclasses.replace(loudspeaker(), mass_kg=Figure(math.nan))
    with pytest.raises(ValueError, match="not finite"):
        to_plain(system(loudspeakers=(sheet,)))


def test_a_read_description_that_makes_no_sense_is_refused_by_check() -> None:
    described = system_from_plain(changed("drive_lines.0.amplifier", "Nowhere"))
    assert validate(described) == ["Drive line 'Left': there is no amplifier place 'Nowhere'."]
    with pytest.raises(ValueError, match="no amplifier place 'Nowhere'"):
        check(described)


def test_a_new_version_of_the_arithmetic_gives_another_fingerprint(monkeypatch) -> None:
    before = fingerprint(system())
    monkeypatch.setattr("calc.serialise.VERSION", "another")
    assert fingerprint(system()) != before
