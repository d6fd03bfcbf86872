"""Weights on hang points, stands and trucks."""

import pytest

from calc.check import check, validate
from calc.figure import UNKNOWN, Figure
from calc.system import ExtraLoad, Support
from tests.calc.builders import known, loudspeaker, maybe, placement, system, way


def hung(limit: float | None, extra: float | None = 12.5, boxes: int = 2, **changes):
    """Boxes of 25 kg and one extra load on a hang point."""
    placed = tuple(placement(f"Top {i}", support="Left point") for i in range(boxes))
    plain = {
        "placements": placed,
        "drive_lines": (),
        "areas": (),
        "supports": (
            Support("Left point", "hang point", maybe(limit)),
            Support("Truck", "truck", known(9000)),
        ),
        "extra_loads": (ExtraLoad("Frame", "Left point", maybe(extra)),),
    }
    return system(**(plain | changes))


def weights(prediction):
    return [f for f in prediction.findings if f.check == "weight"]


@pytest.mark.parametrize(
    ("limit", "extra", "state"),
    [
        (62.5, 12.5, "holds"),
        (62.0, 12.5, "fails"),
        (100, None, "cannot check"),
        (40, None, "fails"),
        (None, 12.5, "cannot check"),
    ],
)
def test_sum_against_the_marked_limit(limit, extra, state) -> None:
    """Two boxes of 25 kg and a frame of 12.5 kg are 62.5 kg."""
    prediction = check(hung(limit, extra))
    (found,) = weights(prediction)
    assert found.state == state
    assert "approves no rigging" in found.sentence
    assert found.value == (None if extra is None else pytest.approx(62.5))
    point, truck = prediction.supports
    assert point.known_kg == pytest.approx(50 + (extra or 0))
    assert truck.total_kg == 0 and truck.loads == ()
    if extra is None:
        assert point.unknown == ("Frame",) and point.total_kg is None


def test_an_unknown_box_is_no_pass() -> None:
    bare = loudspeaker(ways=(way(),))
    light = type(bare)(bare.name, bare.role, bare.ways)
    (found,) = weights(check(hung(1000, loudspeakers=(light,))))
    assert found.state == "cannot check" and "Top 0 and Top 1" in found.sentence


def test_boxes_on_no_support_are_told_once_there_are_supports() -> None:
    placed = (placement("Top 1", support="Left point"), placement("Top 2"))
    prediction = check(hung(100, placements=placed))
    assert any("Top 2: on which support" in text for text in prediction.unchecked)
    assert not any("on which support" in text for text in check(system()).unchecked)


def test_assumed_masses_are_told() -> None:
    guess = ExtraLoad("Frame", "Left point", Figure(12.5, "assumed"))
    (found,) = weights(check(hung(100, extra_loads=(guess,))))
    assert any("mass of 12.5 kg is assumed" in text for text in found.assumed)


def test_supports_that_are_not_there() -> None:
    lost = system(placements=(placement(support="Gone"),))
    assert any("no support 'Gone'" in fault for fault in validate(lost))
    adrift = system(extra_loads=(ExtraLoad("Frame", "Gone", UNKNOWN),))
    assert any("no support 'Gone'" in fault for fault in validate(adrift))
    heavy = system(supports=(Support("P", "stand", known(-1)),))
    assert any("limit_kg must lie" in fault for fault in validate(heavy))
