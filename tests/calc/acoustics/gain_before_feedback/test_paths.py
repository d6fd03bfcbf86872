"""What reaches a point, way by way, sums to what the map says there."""

import dataclasses

import numpy as np
import pytest

from calc.acoustics import bands
from calc.acoustics.answers import energy_at
from calc.acoustics.gain_before_feedback.paths import Grouping, pressures
from calc.acoustics.sources import field_of
from calc.check import check_lines
from calc.lookup import Lookup
from tests.calc.builders import boxes_on_one_line, placement

POINTS = [(0.5, 9.0, 1.6), (-3.0, -4.0, 1.2), (1.0, 0.1, 2.4)]


@pytest.mark.parametrize("coherent_below", [0.0, 150.0, 900.0])
@pytest.mark.parametrize("group", ["", "Main"])
def test_the_sum_of_all_ways_is_the_maps_energy(coherent_below: float, group: str) -> None:
    described = boxes_on_one_line(2)
    described = dataclasses.replace(
        described,
        placements=tuple(
            placement(f"Top {n}", x_m=2.0 * n, azimuth_deg=15.0 * n, group=group) for n in (1, 2)
        ),
        choices=dataclasses.replace(described.choices, coherent_below_hz=coherent_below),
    )
    lookup = Lookup.of(described)
    drawn = field_of(described, lookup, check_lines(described)).drawn
    expected = bands.by_octave(energy_at(described, drawn, np.array(POINTS)))[:, 1:6]
    grouping = Grouping.of(drawn, coherent_below)
    assert len(drawn) == 2
    each = pressures(drawn, POINTS, described.surroundings)
    found = np.array([grouping.energy(each[point]) for point in POINTS])
    assert 10 * np.log10(found / expected) == pytest.approx(0, abs=0.01)
