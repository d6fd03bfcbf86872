"""The search for the most even coverage."""

import dataclasses

import pytest

from calc.acoustics.helpers.aim import MOST_TRIALS, aim_and_trim
from calc.acoustics.helpers.moves import Change, Freedom, changes_of, with_changes
from calc.check import check
from calc.system import SystemDescription
from tests.calc.builders import (
    amplifier,
    area,
    drive_line,
    link,
    output,
    placement,
    system,
)

UP = placement(tilt_deg=30.0)
TILT = Freedom(("Top 1",), "tilt_deg", 60.0, 20.0)


def crooked() -> SystemDescription:
    """A pair of tops that look at the ceiling and to one side, on one channel each."""
    boxes = (
        placement("Top 1", x_m=-4.0, tilt_deg=20.0, azimuth_deg=50.0),
        placement("Top 2", x_m=4.0, tilt_deg=20.0, azimuth_deg=-50.0),
    )
    lines = (drive_line("Left"), drive_line("Right", (link("Top 2"),), channel=2, output=2))
    return system(placements=boxes, drive_lines=lines)


def test_a_box_that_looks_up_is_turned_down() -> None:
    described = system(placements=(UP,))
    found = aim_and_trim(described, [TILT])
    (change,) = found.changes
    assert (change.name, change.quantity, change.before) == ("Top 1", "tilt_deg", 30.0)
    assert -30 <= change.after < 20
    assert found.after.cost < found.before.cost - 0.3
    assert found.after.mean_mid_db > found.before.mean_mid_db  # not by looking away
    assert found.complete and found.trials < MOST_TRIALS


def test_accepting_gives_what_was_promised() -> None:
    """A fresh check of the changed description is as even as the proposal says."""
    described = system(placements=(UP,))
    found = aim_and_trim(described, [TILT])
    before, after = (check(s).areas[0] for s in (described, with_changes(described, found.changes)))
    assert before.spread_mid_db == pytest.approx(found.before.spread_mid_db, abs=0.01)
    assert after.spread_mid_db == pytest.approx(found.after.spread_mid_db, abs=0.01)
    assert after.share_within_3_db == pytest.approx(found.after.share_within_3_db, abs=1e-6)


def test_the_same_question_gets_the_same_answer_and_changes_nothing() -> None:
    described = crooked()
    freedoms = [Freedom(("Top 1", "Top 2"), "azimuth_deg", 60.0, 60.0, mirrored=True), TILT]
    assert aim_and_trim(described, freedoms) == aim_and_trim(described, freedoms)
    assert described == crooked()


def test_mirrored_boxes_turn_against_each_other() -> None:
    found = aim_and_trim(
        crooked(), [Freedom(("Top 1", "Top 2"), "azimuth_deg", 60.0, 60.0, mirrored=True)]
    )
    left, right = found.changes
    assert left.after == pytest.approx(-right.after)
    assert found.after.cost < found.before.cost


def test_bounds_hold() -> None:
    narrow = Freedom(("Top 1",), "tilt_deg", 3.0, 0.0)
    (change,) = aim_and_trim(system(placements=(UP,)), [narrow]).changes
    assert 27.0 <= change.after <= 30.0


def test_levels_and_delays_belong_to_lines() -> None:
    """One side 10 dB too loud is trimmed; heights move too."""
    described = crooked()
    left, right = described.drive_lines
    lines = left, dataclasses.replace(right, output=2)
    described = dataclasses.replace(
        described,
        drive_lines=lines,
        outputs=(output(1, 10.0), output(2, 0.0)),
        amplifiers=(amplifier(ratings={8: 700, 4: 1200}),),
        areas=(area(corners=((-6.0, 4.0), (6.0, 4.0), (6.0, 12.0), (-6.0, 12.0))),),
    )
    freedoms = [
        Freedom(("Left",), "level_db", 15.0, 0.0),
        Freedom(("Right",), "delay_ms", 0.0, 5.0),
        Freedom(("Top 1", "Top 2"), "z_m", 0.5, 2.0),
    ]
    found = aim_and_trim(described, freedoms)
    trim = next(c for c in found.changes if c.quantity == "level_db")
    assert (trim.name, trim.before) == ("Left", 0.0) and -15 <= trim.after < -3
    accepted = with_changes(described, [Change("Left", "level_db", 0.0, -6.0)])
    assert [part.gain_db for part in accepted.outputs] == [4.0, 0.0]
    late = with_changes(described, [Change("Right", "delay_ms", 0.0, 3.0)])
    assert [part.delay_ms for part in late.outputs] == [0.0, 3.0]


def test_lines_on_one_output_move_together_and_that_is_said() -> None:
    """Both sides hang on output 1: what one gets the other gets, once."""
    lines = tuple(dataclasses.replace(line, output=1) for line in crooked().drive_lines)
    described = dataclasses.replace(crooked(), drive_lines=lines, outputs=(output(1, 2.0),))
    found = aim_and_trim(described, [Freedom(("Left",), "delay_ms", 0.0, 5.0)])
    assert found.remarks == ("Right moves along with Left: one processor output feeds them.",)
    steps = changes_of(described, [Freedom(("Left",), "level_db", 9.0, 9.0)], [-6.0])
    assert [(c.name, c.after) for c in steps] == [("Left", -6.0), ("Right", -6.0)]
    assert with_changes(described, steps).outputs[0].gain_db == -4.0
    apart = [Freedom((name,), "delay_ms", 0.0, 5.0) for name in ("Left", "Right")]
    with pytest.raises(ValueError, match="the delay_ms of Left and Right would move by two"):
        aim_and_trim(described, apart)


def test_a_delay_needs_a_processor_output() -> None:
    """One that nobody described gets described by its delay; a line without one is refused."""
    late = with_changes(system(), [Change("Left", "delay_ms", 0.0, 3.0)])
    assert [(part.name, part.delay_ms) for part in late.outputs] == [("FOH, output 1", 3.0)]
    assert late.outputs[0].gain_db is None
    nowhere = system(drive_lines=(drive_line(output=None),))
    with pytest.raises(ValueError, match="no processor output feeds 'Left'"):
        aim_and_trim(nowhere, [Freedom(("Left",), "delay_ms", 0.0, 5.0)])


@pytest.mark.parametrize(
    ("freedom", "words"),
    [
        (Freedom(("Nobody",), "tilt_deg", 1, 1), "nothing called 'Nobody'"),
        (Freedom(("Top 1",), "level_db", 1, 1), "nothing called 'Top 1' whose level_db"),
        (Freedom((), "tilt_deg", 1, 1), "nothing is named"),
        (Freedom(("Top 1",), "tilt_deg", -1, 1), "bounds of tilt_deg"),
    ],
)
def test_impossible_freedoms_are_told(freedom: Freedom, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        aim_and_trim(system(), [freedom])


def test_nothing_to_make_even() -> None:
    with pytest.raises(ValueError, match="no audience area"):
        aim_and_trim(system(areas=()), [TILT])
    with pytest.raises(ValueError, match="no box can be drawn"):
        aim_and_trim(system(drive_lines=()), [TILT])


def test_progress_is_told_and_can_stop() -> None:
    told: list[int] = []
    aim_and_trim(system(placements=(UP,)), [TILT], lambda done, most: told.append(done))
    assert told == list(range(1, len(told) + 1))

    def stop(done: int, most: int) -> None:
        if done == 3:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        aim_and_trim(system(placements=(UP,)), [TILT], stop)
