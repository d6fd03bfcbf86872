"""Where the main system has fallen by 6 dB."""

import dataclasses
import math

import numpy as np
import pytest

from calc.acoustics.helpers.towers import throw
from calc.system import Surroundings
from tests.calc.builders import drive_line, known, link, loudspeaker, placement, system, way

DRY = Surroundings(20.0, 50.0)
ROUND = loudspeaker(ways=(way(coverage_h_deg=known(360), coverage_v_deg=known(360)),))


def field_system(**changes):
    """One box that radiates all round, at ear height."""
    return system(
        **({"loudspeakers": (ROUND,), "placements": (placement(z_m=1.6, tilt_deg=0.0),)} | changes)
    )


def test_twice_the_distance_is_6_db() -> None:
    """A point source at 10 m is 6.02 dB lower at 20 m; the air brings it a little nearer."""
    found = throw(field_system(), 0, 0, 1.6, reference_m=10.0)
    assert found.fallen_m is not None and 19 <= found.fallen_m <= 20
    assert found.tower_at_m == (0, found.fallen_m)
    assert found.delay_ms == pytest.approx(1000 * found.fallen_m / 343.2 + 10)
    assert found.near_m is None
    level = np.array(found.level_db)
    assert level[20] - level[int(2 * found.fallen_m)] >= 6


def test_along_another_axis() -> None:
    found = throw(field_system(), 0, 0, 1.6, azimuth_deg=90.0)
    assert found.tower_at_m == (found.fallen_m, pytest.approx(0, abs=1e-9))


def test_below_a_high_narrow_box_a_fill_is_missing() -> None:
    """A box 12 m up that looks at the back: under it the front hears it off the axis."""
    ways = (way(coverage_h_deg=known(60), coverage_v_deg=known(10)),)
    narrow = dataclasses.replace(loudspeaker(ways=ways), height_m=known(2))
    box = placement(z_m=12.0, tilt_deg=-15.0)
    rig = system(loudspeakers=(narrow,), placements=(box,))
    found = throw(rig, 0, 1, 1.6, reference_m=38.0)
    assert found.near_m is not None and 3 < found.near_m < 30
    low = [
        level
        for at, level in zip(found.distance_m, found.level_db, strict=True)
        if at <= found.near_m
    ]
    assert low[-1] <= found.level_db[76] - 6


def test_a_short_axis_has_no_tower() -> None:
    found = throw(field_system(), 0, 0, 1.6, reference_m=10.0, length_m=15.0)
    assert found.fallen_m is found.tower_at_m is found.delay_ms is None


def test_only_the_main_system_counts() -> None:
    """A tower that is already there must not hide where it belongs."""
    boxes = (placement(z_m=1.6, tilt_deg=0.0), placement("Tower", y_m=30.0, z_m=1.6))
    lines = (drive_line(), drive_line("Right", (link("Tower"),), channel=2, output=2))
    both = field_system(placements=boxes, drive_lines=lines)
    alone = throw(field_system(), 0, 0, 1.6)
    assert throw(both, 0, 0, 1.6, placements=["Top 1"]).fallen_m == alone.fallen_m
    assert throw(both, 0, 0, 1.6).fallen_m != alone.fallen_m


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"reference_m": 200.0}, "before the axis' end"),
        ({"length_m": math.inf}, "before the axis' end"),
        ({"placements": ["Nobody"]}, "nothing of the main system"),
    ],
)
def test_faults_are_told(arguments, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        throw(field_system(), 0, 0, 1.6, **arguments)


def test_a_sub_that_stands_nearer_does_not_set_the_towers_delay() -> None:
    """The tower follows what plays the mids: the box at y 0, not the sub 5 m ahead of it."""
    alone = throw(field_system(), 0, 0, 1.6)
    low = loudspeaker(
        "Sub", ways=(way(low_hz=known(35), high_hz=known(120), coverage_h_deg=known(360),
                         coverage_v_deg=known(360)),),
    )  # fmt: skip
    boxes = (
        placement(z_m=1.6, tilt_deg=0.0),
        placement("Sub 1", sheet="Sub", y_m=5.0, z_m=1.6, tilt_deg=0.0),
    )
    lines = (drive_line(), drive_line("Subs", channel=2, output=2, links=(link("Sub 1"),)))
    both = throw(
        field_system(loudspeakers=(ROUND, low), placements=boxes, drive_lines=lines), 0, 0, 1.6
    )
    assert both.fallen_m == alone.fallen_m
    assert both.delay_ms == pytest.approx(alone.delay_ms)
