"""Where a microphone stands: what the geometry says before anything is measured."""

import pytest

from calc.signals.standing import advice, floor_bounce_hz, mirrored, proposed, stacks_of
from calc.system import ListeningSpot
from tests.calc.builders import placement, system

TWO = (
    placement("Left top", x_m=-4.0),
    placement("Left low", x_m=-4.2, z_m=0.5),
    placement("Right top", x_m=4.0),
    placement("Wedge", x_m=0.0, azimuth_deg=180.0, z_m=0.1),
)


def said(*spots: ListeningSpot, boxes=TWO):
    return advice(system(placements=boxes, spots=spots))


def test_the_floor_bounce_of_a_box_at_2_5_m_heard_at_1_6_m_from_7_5_m():
    # 173 Hz: the project's own worked example of this trap (MATH: half a wavelength of 343 m/s
    # over the difference of 8.547 m by way of the floor and 7.554 m straight on).
    assert floor_bounce_hz(2.5, 1.6, 7.5, 343.0) == pytest.approx(173, abs=0.5)


def test_on_the_floor_there_is_no_bounce():
    assert floor_bounce_hz(2.5, 0.0, 7.5, 343.0) is None
    found = said(ListeningSpot("Floor", -4.0, 7.5, 0.02, "on the floor"))[0]
    assert found.null_hz is None
    assert "nothing bounces off the floor" in found.sentences[0]


def test_a_spot_on_the_floor_that_is_not_there_is_told():
    found = said(ListeningSpot("Floor", -4.0, 7.5, 1.2, "on the floor"))[0]
    assert "stands 1.2 m above it" in found.sentences[0]


def test_boxes_that_stand_together_are_one_stack_and_wedges_none():
    assert [stack.name for stack in stacks_of(TWO)] == ["Left top", "Right top"]
    assert [stack.name for stack in mirrored(stacks_of(TWO)) or ()] == ["Left top", "Right top"]


def test_the_middle_between_two_stacks_is_no_place_to_measure():
    middle, side = said(ListeningSpot("Mid", 0.2, 8.0, 1.6), ListeningSpot("Off", -3.0, 7.5, 1.6))
    assert middle.central
    assert "0.2 m off the middle between Left top and Right top" in middle.sentences[0]
    assert "no filter mends that" in middle.sentences[0]
    assert not side.central


def test_the_hole_is_foretold_with_its_heights():
    found = said(ListeningSpot("Off", -4.0, 7.5, 1.6))[0]
    assert found.distance_m == pytest.approx(7.5)
    assert found.null_hz == pytest.approx(173, abs=1)
    assert "box 2.5 m and microphone 1.6 m high, 7.5 m apart" in found.sentences[0]


def test_boxes_further_back_do_not_make_the_middle():
    rear = (placement("Rear left", x_m=-6.0, y_m=11.0), placement("Rear right", x_m=6.0, y_m=11.0))
    found = said(ListeningSpot("Mid", 0.2, 8.0, 1.6), boxes=(*TWO, *rear))[0]
    assert found.stack == "Right top"
    assert "between Left top and Right top" in found.sentences[0]


@pytest.mark.parametrize(("away", "words"), [(3.0, "one box rules"), (14.0, "the room rules")])
def test_too_near_and_too_far_are_told(away, words):
    assert words in said(ListeningSpot("Off", -4.0, away, 1.6))[0].sentences[-1]


def test_what_is_missing_is_proposed_before_one_stack_and_no_longer_once_it_is_there():
    found = proposed(system(placements=TWO))
    assert [each.kind for each in found] == ["standing", "on the floor"]
    assert [(each.x_m, each.y_m) for each in found] == [(-4.0, 7.5)] * 2
    both = (
        ListeningSpot("Off", -4.0, 7.5, 1.6),
        ListeningSpot("Floor", -4.0, 7.5, 0.0, "on the floor"),
    )
    assert proposed(system(placements=TWO, spots=both)) == ()


def test_without_boxes_nothing_is_claimed():
    found = said(ListeningSpot("Off", 0.0, 8.0, 1.6), boxes=())[0]
    assert (found.null_hz, found.distance_m) == (None, None)
    assert "unknown" in found.sentences[0]
