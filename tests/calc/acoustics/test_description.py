"""What is said about the sound's part of a description: faults and changes."""

import dataclasses

import numpy as np
import pytest

from calc.check import validate
from calc.differences import differences
from calc.serialise import system_from_plain, to_plain
from calc.system import (
    AxisResponse,
    ListeningPlace,
    Room,
    RoomSurface,
    Show,
)
from tests.calc.acoustics.directivity.shapes import balloon_of, slope
from tests.calc.builders import known, loudspeaker, placement, system, way

BALLOON = balloon_of(slope())


def with_way(**changes):
    return system(loudspeakers=(loudspeaker(ways=(way(**changes),)),))


FULL = dataclasses.replace(
    with_way(balloon=BALLOON, axis_response=AxisResponse((50.0, 20000.0), (95.0, 97.0))),
    places=(ListeningPlace("Desk", 0.0, 12.0, 1.7, hours=known(4)),),
    room=Room(
        known(4000), (RoomSurface("Floor", known(300), (0.02,) * 7),), (1.5,) * 7, (40.0,) * 7
    ),
    show=Show(known(98), known(3), known(-6)),
)


def test_everything_described_is_valid_and_comes_back() -> None:
    assert validate(FULL) == []
    assert system_from_plain(to_plain(FULL)) == FULL


@pytest.mark.parametrize(
    ("described", "words"),
    [
        (with_way(balloon=dataclasses.replace(BALLOON, band_hz=(0.0,))), "balloon: its bands"),
        (with_way(axis_response=AxisResponse((50.0,), (90.0,))), "axis response: it needs"),
        (with_way(piston_diameter_m=known(50)), "piston_diameter_m must lie between"),
        (system(placements=(placement(roll_deg=400.0),)), "roll_deg must lie"),
        (system(places=(ListeningPlace("A", 0, 0, 1e6),)), "Place 'A': z_m must lie"),
        (system(places=(ListeningPlace("A", 0, 0, 1),) * 2), "Place 'A' is there twice"),
        (system(room=Room(known(0.1))), "The room: volume_m3 must lie"),
        (system(room=Room(decay_s=(1.0,) * 6)), "decay times must be seven"),
        (system(room=Room(noise_db=(300.0,) * 7)), "noise levels must lie"),
        (
            system(room=Room(surfaces=(RoomSurface("Wall", known(10), (1.5,) * 7),))),
            "'Wall': its absorption must lie between 0 and 1",
        ),
        (
            system(room=Room(surfaces=(RoomSurface("Wall", known(10), ()),))),
            "'Wall': its absorption must be seven",
        ),
        (system(show=Show(target_dba=known(500))), "The show: target_dba must lie"),
    ],
)
def test_faults_are_told(described, words: str) -> None:
    assert any(words in fault for fault in validate(described)), validate(described)


def test_changes_are_told_by_name() -> None:
    quiet, loud = Show(target_dba=known(95)), Show(target_dba=known(98))
    assert differences(system(show=quiet), system(show=loud)) == [
        "The show: target 95 dB(A) (data sheet) became 98 dB(A) (data sheet)."
    ]
    assert differences(system(), system(room=Room())) == ["The room was described."]
    assert differences(system(room=Room()), system()) == ["The room was taken out."]
    rooms = [system(room=Room(noise_db=(level,) * 7)) for level in (30.0, 40.0)]
    assert differences(*rooms) == ["The room: its noise changed."]
    other = balloon_of(np.array(slope()) * 2)
    (said,) = differences(with_way(balloon=BALLOON), with_way(balloon=other))
    assert said.endswith("its balloon changed.")
