"""From a description to levels: balance, target, places, seats."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics.maps import area_maps
from calc.acoustics.seat import seat
from calc.check import check
from calc.figure import UNKNOWN
from calc.prediction import RigLevels
from calc.system import ListeningPlace, Show, SystemDescription
from tests.calc.builders import (
    amplifier,
    area,
    boxes_on_one_line,
    drive_line,
    known,
    link,
    loudspeaker,
    output,
    placement,
    system,
    way,
)

SUB = loudspeaker(
    "Sub", "sub", (way(low_hz=known(40), high_hz=known(100), coverage_h_deg=known(360)),)
)


def top_and_sub(top_gain: float | None = 0.0, sub_gain: float | None = 0.0, **changes):
    """A full-range top and a sub, each on its own channel."""
    top, sub = drive_line("Top"), drive_line("Sub", (link("Sub 1"),), channel=2, output=2)
    return system(
        **(
            {
                "loudspeakers": (loudspeaker(), SUB),
                "placements": (placement(), placement("Sub 1", "Sub", z_m=0.5)),
                "drive_lines": (top, sub),
                "outputs": (output(1, top_gain), output(2, sub_gain)),
            }
            | changes
        )
    )


def levels_of(described: SystemDescription) -> RigLevels:
    levels = check(described).levels
    assert levels is not None
    return levels


def test_which_line_limits_first() -> None:
    """The top gets 24 of 30 thirds, the sub 5: at equal gains the top is 6.8 dB ahead."""
    levels = levels_of(top_and_sub())
    assert levels.first_to_limit == "Top"
    after = {line.line: line.after_first_db for line in levels.lines}
    assert after == {"Top": 0.0, "Sub": pytest.approx(10 * math.log10(24 / 5), abs=0.01)}
    louder_sub = levels_of(top_and_sub(sub_gain=10.0))
    assert louder_sub.first_to_limit == "Sub"
    assert "Sub reaches its limit first" in louder_sub.sentences[0]


def test_the_balance_leaves_less_than_every_line_at_its_limit() -> None:
    levels = levels_of(top_and_sub(sub_gain=20.0))
    assert levels.most_dba is not None and levels.balanced_most_dba is not None
    held_back = 20.0 - 10 * math.log10(24 / 5)
    assert held_back - 1 < levels.most_dba - levels.balanced_most_dba < held_back


def test_unknown_gains_leave_the_balance_open() -> None:
    levels = levels_of(top_and_sub(sub_gain=None, show=Show(target_dba=known(95))))
    assert levels.first_to_limit == "" and levels.balanced_most_dba is None
    assert all(line.after_first_db is None for line in levels.lines)
    assert any("unknown on Sub" in text for text in levels.unknown)
    assert levels.headroom_db == pytest.approx(levels.most_dba - 95)
    assert any("any other balance leaves less" in text for text in levels.sentences)


def test_present_level_follows_the_programme_until_it_limits() -> None:
    """3 dB more at the input are 3 dB more everywhere, until the limiters hold."""
    quiet, more, far_too_much = (
        levels_of(top_and_sub(show=Show(programme_dbu=known(dbu)))) for dbu in (-30, -27, 40)
    )
    assert more.present_dba - quiet.present_dba == pytest.approx(3, abs=1e-3)
    assert quiet.lines[0].margin_db - more.lines[0].margin_db == pytest.approx(3)
    assert far_too_much.present_dba == pytest.approx(far_too_much.most_dba, abs=1e-3)
    assert far_too_much.lines[0].margin_db < 0
    volts = quiet.lines[0].present_v
    expected = math.sqrt(0.6) * 10 ** ((-30 + 32) / 20) * math.sqrt(24 / 30)
    assert volts == pytest.approx(expected, rel=1e-3)


def test_headroom_to_the_wished_level() -> None:
    loud, modest = (levels_of(top_and_sub(show=Show(target_dba=known(t)))) for t in (130, 90))
    assert loud.headroom_db < 0 and "short of the wished 130.0 dB(A)" in loud.sentences[1]
    assert modest.headroom_db == pytest.approx(modest.balanced_most_dba - 90)
    none = levels_of(top_and_sub())
    assert none.headroom_db is None and any("wished" in text for text in none.unknown)


def test_two_areas_count_by_their_surface() -> None:
    """Half of the floor twice is the whole floor once."""
    left = area("Left", corners=((-5.0, 3.0), (0.0, 3.0), (0.0, 15.0), (-5.0, 15.0)))
    right = area("Right", corners=((0.0, 3.0), (5.0, 3.0), (5.0, 15.0), (0.0, 15.0)))
    whole, halves = levels_of(system()), levels_of(system(areas=(left, right)))
    assert halves.most_dba == pytest.approx(whole.most_dba, abs=0.01)


def test_a_stage_is_told_but_does_not_count() -> None:
    stage = area("Stage", kind="stage", corners=((-4.0, -6.0), (4.0, -6.0), (4.0, -1.0)))
    with_it = check(system(areas=(area(), stage)))
    assert [result.kind for result in with_it.areas] == ["audience", "stage"]
    assert {f.subject for f in with_it.findings if f.check == "coverage"} == {"Floor"}
    assert with_it.levels == check(system()).levels


def test_places_hear_what_the_area_hears_there() -> None:
    described = system(
        places=(
            ListeningPlace("Front", 0.5, 3.5, 1.6, "front row"),
            ListeningPlace("Desk", 0.5, 14.5, 1.6),
        ),
        show=Show(programme_dbu=known(-10)),
        outputs=(output(),),
    )
    prediction = check(described)
    floor = prediction.areas[0]
    for place in prediction.places:
        row, column = floor.y_m.index(place.at_m[1]), floor.x_m.index(place.at_m[0])
        assert place.level_a_db == pytest.approx(floor.level_a_db[row][column], abs=1e-3)
        assert place.level_z_db == pytest.approx(floor.level_z_db[row][column], abs=1e-3)
        assert place.present_a_db == pytest.approx(floor.present_a_db[row][column], abs=1e-3)
    assert [place.kind for place in prediction.places] == ["front row", "crew"]


def test_places_without_areas_and_rigs_without_places() -> None:
    lone = check(system(areas=(), places=(ListeningPlace("Desk", 0, 10, 1.6),)))
    assert lone.places[0].level_a_db > 80 and lone.levels is None
    nothing = system(placements=(), drive_lines=(), places=(ListeningPlace("Desk", 0, 10, 1.6),))
    assert check(nothing).places == ()


def test_a_seats_contributions_make_up_its_level() -> None:
    described = boxes_on_one_line(
        3,
        amplifiers=(amplifier(ratings={8: 700, 4: 1200, 2: 1800}, minimum=2),),
        choices=dataclasses.replace(system().choices, coherent_below_hz=0.0),
    )
    here = seat(described, 1.0, 8.0, 1.6)
    energies = [10 ** (c.level_a_db / 10) for c in here.contributions]
    assert here.level_a_db == pytest.approx(10 * math.log10(sum(energies)), abs=1e-3)
    assert [c.level_a_db for c in here.contributions] == sorted(
        (c.level_a_db for c in here.contributions), reverse=True
    )
    nearest = min(here.contributions, key=lambda c: c.distance_m)
    assert nearest.placement == "Top 2"
    assert nearest.distance_m == pytest.approx(math.hypot(8, 0.9))
    assert nearest.arrival_ms == pytest.approx(1000 * math.hypot(8, 0.9) / 343.2)


def test_a_delay_is_part_of_the_arrival() -> None:
    first, second = (
        seat(system(outputs=(output(delay_ms=delay),)), 0, 8, 1.6).contributions[0]
        for delay in (0.0, 12.0)
    )
    assert second.arrival_ms - first.arrival_ms == pytest.approx(12)


def test_maps_of_every_band() -> None:
    described = system()
    maps, floor = area_maps(described, "Floor"), check(described).areas[0]
    drawn = np.array(maps.of(1000), dtype=float)
    assert 10 * np.log10((10 ** (drawn / 10)).mean()) == pytest.approx(
        floor.mean_spectrum_db[16], abs=1e-3
    )
    assert len(maps.level_db) == len(maps.bands_hz) == 30
    assert (maps.x_m, maps.y_m) == (floor.x_m, floor.y_m)
    assert (maps.level_a_db, maps.level_z_db) == (floor.level_a_db, floor.level_z_db)
    with pytest.raises(ValueError, match="25 Hz to 20 kHz"):
        maps.of(10)


def test_maps_at_other_drives() -> None:
    described = top_and_sub(sub_gain=20.0, show=Show(programme_dbu=known(-20)))
    present = area_maps(described, "Floor", "present")
    assert present.level_a_db == check(described).areas[0].present_a_db
    full, balanced = (area_maps(described, "Floor", d) for d in ("full", "balanced"))
    assert np.array(full.of(63)) == pytest.approx(np.array(balanced.of(63)), abs=1e-3)
    assert (np.array(full.of(1000)) - np.array(balanced.of(1000))).min() > 10


def test_maps_that_cannot_be_drawn_are_told() -> None:
    with pytest.raises(ValueError, match="no area 'Roof'"):
        area_maps(system(), "Roof")
    with pytest.raises(ValueError, match="level is unknown"):
        area_maps(system(), "Floor", "present")


def test_boxes_of_a_group_add_in_phase() -> None:
    """Two boxes at one spot: 3 dB by energy, 6 dB in one group."""

    def both(group: str) -> SystemDescription:
        boxes = tuple(placement(f"Top {i}", group=group) for i in (1, 2))
        line = drive_line(links=(link("Top 1"), link("Top 2", from_amplifier=False)))
        amps = (amplifier(ratings={8: 700, 4: 1200}),)
        return system(placements=boxes, drive_lines=(line,), amplifiers=amps)

    alone, stack = (check(both(g)).areas[0].mean_mid_db for g in ("", "stack"))
    assert stack - alone == pytest.approx(3.01, abs=0.01)


@settings(max_examples=15, deadline=None)
@given(st.floats(-170, 170), st.floats(-40, 40), st.floats(-40, 40), st.sampled_from(["", "one"]))
def test_turning_and_moving_everything_changes_nothing(angle, right, ahead, group) -> None:
    """Seats, boxes and aims together, in and out of phase."""
    turn = math.radians(angle)

    def moved(x: float, y: float) -> tuple[float, float]:
        return (
            right + x * math.cos(turn) + y * math.sin(turn),
            ahead - x * math.sin(turn) + y * math.cos(turn),
        )

    def level(move: bool) -> np.ndarray:
        boxes = []
        for number, (x, y, azimuth) in enumerate(((-3, 0, 12), (3, 0.5, -20)), start=1):
            spot = moved(x, y) if move else (x, y)
            boxes.append(
                placement(
                    f"Top {number}",
                    x_m=spot[0],
                    y_m=spot[1],
                    group=group,
                    roll_deg=20.0,
                    azimuth_deg=azimuth + (angle if move else 0.0),
                )
            )
        line = drive_line(links=(link("Top 1"), link("Top 2", from_amplifier=False)))
        described = system(placements=tuple(boxes), drive_lines=(line,))
        x, y = moved(1.5, 9.0) if move else (1.5, 9.0)
        return np.array(seat(described, x, y, 1.6).spectrum_db)

    assert level(True) == pytest.approx(level(False), abs=0.02)


def test_missing_figures_are_still_told() -> None:
    blank = loudspeaker(ways=(way(coverage_h_deg=UNKNOWN),))
    prediction = check(system(loudspeakers=(blank,), places=(ListeningPlace("Desk", 0, 9, 1.6),)))
    assert prediction.levels is None and prediction.places == ()
    assert any("horizontal coverage angle is unknown" in text for text in prediction.unchecked)


@pytest.mark.parametrize(
    ("target", "state", "words"),
    [
        (140.0, "fails", "short of the wished 140.0 dB(A)"),
        (90.0, "holds", "Top limits first"),
        (None, "cannot check", "No level is wished for"),
    ],
)
def test_the_wished_level_is_a_finding(target, state: str, words: str) -> None:
    show = Show(target_dba=UNKNOWN if target is None else known(target))
    (found,) = [f for f in check(top_and_sub(show=show)).findings if f.check == "target"]
    assert found.state == state and words in found.sentence


def test_little_above_the_wish_is_tight_and_an_unknown_balance_no_pass() -> None:
    best = levels_of(top_and_sub()).balanced_most_dba
    show = Show(target_dba=known(best - 1))
    for gain, state in ((0.0, "tight"), (None, "cannot check")):
        described = top_and_sub(sub_gain=gain, show=show)
        (found,) = [f for f in check(described).findings if f.check == "target"]
        assert found.state == state
    assert not any(f.check == "target" for f in check(top_and_sub()).findings)
