"""What the data sheet's page shows."""

import numpy as np
import pytest

from calc.acoustics.directivity.summary import directivity_summary
from calc.figure import UNKNOWN
from tests.calc.acoustics.directivity.shapes import balloon_of, slope
from tests.calc.builders import known, loudspeaker, way


def summary(**changes):
    found = directivity_summary(loudspeaker(ways=(way(**changes),)), "full")
    assert found is not None
    return found


def test_nominal_angles_come_back_where_they_hold() -> None:
    """90 x 60 degrees of a box 0.4 x 0.6 m: held from about 660 Hz, wider below."""
    found = summary()
    assert found.source == "nominal angles"
    assert found.width_h_deg[-1] == pytest.approx(90, abs=0.1)
    assert found.width_v_deg[-1] == pytest.approx(60, abs=0.1)
    assert found.width_h_deg[0] == 360
    assert (np.diff(found.index_db) >= -1e-6).all() and found.index_db[0] < 1


def test_piston_angles_and_index() -> None:
    """At the band whose ka is near 5: 52.59 degrees and 14.017 dB at 5 itself (RUN)."""
    diameter = 2 * 5 * 343.2 / (2 * np.pi * 1000)
    found = summary(piston_diameter_m=known(diameter))
    assert found.source == "piston"
    assert found.width_h_deg[16] == pytest.approx(52.59, abs=0.5)
    assert found.width_v_deg[16] == found.width_h_deg[16]
    assert found.index_db[16] == pytest.approx(14.017, abs=0.1)


def test_polars_of_a_balloon() -> None:
    found = summary(balloon=balloon_of(slope(0.05, 0.1)))
    assert found.source == "balloon"
    assert found.angles_deg[0] == -180 and found.angles_deg[36] == 0 and len(found.angles_deg) == 73
    assert found.width_h_deg[16] == pytest.approx(240, abs=0.01)
    assert found.width_v_deg[16] == pytest.approx(120, abs=0.01)
    assert found.horizontal_db[16][36] == 0
    assert found.vertical_db[16][36 + 6] == pytest.approx(-3, abs=1e-4)


def test_left_and_right_keep_their_sides() -> None:
    level = slope(0.0, 0.0)
    level[36, 1:] = -6  # to the left
    found = summary(balloon=balloon_of(level))
    assert found.horizontal_db[16][0] == pytest.approx(-6, abs=1e-4)
    assert found.horizontal_db[16][71] == pytest.approx(0, abs=1e-4)


def test_unknown_and_absent() -> None:
    blank = loudspeaker(ways=(way(coverage_h_deg=UNKNOWN),))
    assert directivity_summary(blank, "full") is None
    with pytest.raises(ValueError, match="no way 'tweeter'"):
        directivity_summary(blank, "tweeter")
