"""Listening spots, alignments and measured responses that cannot be."""

import dataclasses

import pytest

from calc.check import validate
from calc.system import Alignment, ListeningSpot, MeasuredResponse
from tests.calc.signals.rigs import rig

GOOD = MeasuredResponse("Sub line", "Middle", (20.0, 40.0), (0.0, 1.0), (0.0, -90.0))


def of(**changes):
    return dataclasses.replace(rig().alignments[0], **changes)


def test_a_good_one_has_no_fault() -> None:
    assert validate(rig(measured=(GOOD,))) == []


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (of(moved=("Nobody",)), "no drive line 'Nobody'"),
        (of(spot="Nowhere"), "no listening spot 'Nowhere'"),
        (of(moved=()), "on either side"),
        (of(reference=("Sub line",)), "against itself"),
        (of(moved=("Sub line", "Sub line")), "named twice"),
        (of(offset_ms=-5.0), "offset_ms"),
        (of(set_temperature_c=90.0), "set_temperature_c"),
        (of(kind="left to right"), "not 'left to right'"),
        (of(offset_ms=float("nan")), "offset_ms"),
    ],
)
def test_alignments(part: Alignment, said: str) -> None:
    assert any(said in fault for fault in validate(rig(alignments=(part,))))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"line": "Nobody"}, "no drive line"),
        ({"spot": "Nowhere"}, "no listening spot"),
        ({"frequency_hz": (40.0, 20.0)}, "must rise"),
        ({"frequency_hz": (0.0, 20.0)}, "frequencies must lie"),
        ({"level_db": (0.0,)}, "a level and a phase"),
        ({"level_db": (0.0, float("inf"))}, "levels must lie"),
        ({"phase_deg": (0.0, float("nan"))}, "phases must lie"),
        ({"removed_ms": 1e9}, "removed_ms"),
    ],
)
def test_measured_responses(changes, said: str) -> None:
    response = dataclasses.replace(GOOD, **changes)
    assert any(said in fault for fault in validate(rig(measured=(response,))))


def test_measured_twice() -> None:
    assert any("there twice" in fault for fault in validate(rig(measured=(GOOD, GOOD))))


def test_spots() -> None:
    far = ListeningSpot("Middle", 1e9, 0, 1.6)
    odd = dataclasses.replace(rig().spots[0], kind="hanging")
    assert any("x_m" in fault for fault in validate(rig(spots=(far,))))
    assert any("not 'hanging'" in fault for fault in validate(rig(spots=(odd,))))
