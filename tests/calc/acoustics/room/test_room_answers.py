"""A described room: what is measured counts, what is unknown is said."""

import dataclasses
import json

import numpy as np
import pytest

from calc.acoustics.room.decay import critical_distance_m
from calc.acoustics.room.field import power_and_q, room_field
from calc.check import check
from calc.figure import UNKNOWN
from calc.prediction import RoomResult
from calc.serialise import prediction_from_plain, to_plain
from calc.system import Room, RoomSurface, Show, Surroundings
from tests.calc.acoustics.field.builders import round_source
from tests.calc.builders import known, system

WALLS = RoomSurface("All", known(1000), (0.2,) * 7)
HALL = Room(known(2000), (WALLS,), (), (35.0,) * 7)


def room_of(room: Room | None, **changes) -> RoomResult:
    found = check(system(room=room, **changes)).room
    assert found is not None
    return found


def test_no_room_no_answer() -> None:
    assert check(system()).room is None


def test_estimated_decay() -> None:
    """V 2000, S 1000, 0.2: 1.6111 and 1.4440 s at 343 m/s without air (RUN). At 500 Hz the air
    (2.733 dB/km, RUN) adds 4 m V = 5.03 m2 to 200 and 223.1 m2."""
    found = room_of(HALL)
    assert found.sabine_s[2] == pytest.approx(1.6111 * 343 / 343.2 * 200 / 205.03, rel=1e-3)
    assert found.eyring_s[2] == pytest.approx(1.4440 * 343 / 343.2 * 223.14 / 228.17, rel=1e-3)
    assert found.decay_s == found.eyring_s and set(found.decay_basis) == {"Eyring"}
    assert any("evacuates" in text for text in found.sentences)


def test_measured_decay_counts_first() -> None:
    found = room_of(dataclasses.replace(HALL, decay_s=(2.0, None, *(1.8,) * 5)))
    assert found.decay_s[0] == 2.0 and found.decay_s[1] == found.eyring_s[1]
    assert found.decay_basis[:3] == ("measured", "Eyring", "measured")


def test_unknown_parts_are_said() -> None:
    blank = room_of(Room())
    assert blank.decay_s == (None,) * 7 and blank.speech == ()
    text = " ".join(blank.unknown)
    assert "volume is unknown" in text and "decay at" in text and "noise is unknown" in text
    assert "80 dB(A) is assumed" in text and blank.speech_assumed and not blank.noise_known
    gap = room_of(Room(known(2000), (), (None, *(1.5,) * 6)))
    assert gap.speech[0].index == () and gap.speech[0].rating == ""
    assert gap.speech[0].mean_direct_db is not None  # 500 Hz to 4 kHz are known
    assert "decay at 125 Hz" in " ".join(gap.unknown)


def test_unknown_areas_of_surfaces_estimate_nothing() -> None:
    vague = Room(known(2000), (dataclasses.replace(WALLS, area_m2=UNKNOWN),))
    assert room_of(vague).eyring_s == (None,) * 7


def test_direct_equals_reverberant_at_the_critical_distance() -> None:
    """On the axis of a lone source, whatever its Q: that is what the distance means."""
    volume, decay = 2000.0, np.full(7, 1.5)
    source = round_source()
    q = power_and_q([source])[1]
    assert q == pytest.approx(1, abs=1e-3)
    far = critical_distance_m(q, volume, decay)[2]
    assert far == pytest.approx(2.0813, abs=1e-3)
    field = room_field([source], np.array([[0, far, 0]]), Surroundings(), volume, decay)
    assert field.direct[0, 2] == pytest.approx(field.reverberant[2], rel=2e-3)


def test_two_equal_sources_share_their_q() -> None:
    one, q1 = power_and_q([round_source()])
    two, q2 = power_and_q([round_source(), round_source()])
    assert two == pytest.approx(2 * one) and q2 == pytest.approx(q1)


def test_far_from_the_box_speech_falls_to_that_of_the_decay_alone() -> None:
    """C.3.3: 2 s without noise is 0.4371; direct sound only makes it better."""
    field = room_field(
        [round_source()], np.array([[0, 0.5, 0], [0, 400.0, 0]]), Surroundings(), 2000.0,
        np.full(7, 2.0),
    )  # fmt: skip
    from calc.acoustics.room.speech import index_of

    near, far = index_of(field.modulation(np.full(7, 2.0)))
    assert far == pytest.approx(0.4371, abs=0.002)
    assert near > 0.75


def test_an_echo_as_loud_as_the_sound_costs_modulation() -> None:
    """Two equal arrivals 100 ms apart: |cos(pi F 0.1)| of the modulation is left (MATH)."""
    late = round_source(delay_s=0.1)
    field = room_field(
        [round_source(), late], np.array([[0, 10.0, 0]]), Surroundings(), 1e9, np.full(7, 1e-6)
    )
    from calc.acoustics.room.speech import MODULATION_HZ

    left = field.modulation(np.full(7, 1e-6))[0, 3]
    assert left == pytest.approx(np.abs(np.cos(np.pi * MODULATION_HZ * 0.1)), abs=1e-4)


def test_speech_over_an_area() -> None:
    dry, wet = (room_of(Room(known(2000), (), (t,) * 7, (35.0,) * 7)) for t in (0.8, 3.0))
    assert dry.speech[0].area == "Floor"
    assert 0 < wet.speech[0].least_index < wet.speech[0].mean_index < dry.speech[0].mean_index < 1
    assert wet.speech[0].rating > dry.speech[0].rating  # a later letter is worse
    assert wet.speech[0].mean_direct_db < dry.speech[0].mean_direct_db
    grid = np.array(dry.speech[0].index, dtype=float)
    assert grid.shape == (12, 10) and grid.mean() == pytest.approx(dry.speech[0].mean_index)


def test_noise_and_level_count() -> None:
    quiet, noisy = (room_of(dataclasses.replace(HALL, noise_db=(n,) * 7)) for n in (20.0, 75.0))
    assert noisy.speech[0].mean_index < quiet.speech[0].mean_index - 0.05
    faint = room_of(HALL, show=Show(speech_dba=known(45)))
    assert faint.speech_dba == 45 and not faint.speech_assumed
    assert faint.speech[0].mean_index < room_of(HALL).speech[0].mean_index


def test_a_room_comes_back_from_json() -> None:
    prediction = check(system(room=HALL))
    text = json.dumps(to_plain(prediction), allow_nan=False)
    assert prediction_from_plain(json.loads(text)) == prediction


def test_a_rig_that_plays_nothing_in_a_room() -> None:
    silent = check(system(room=HALL, placements=(), drive_lines=()))
    assert silent.room is not None and silent.room.speech == ()
    assert silent.room.critical_distance_m == (None,) * 7
