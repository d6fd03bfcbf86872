"""Delays by distance and temperature, and the trap of the cold afternoon."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.lookup import Lookup
from calc.signals.delays import delay_table
from tests.calc.signals.rigs import aligned, outputs, placements, rig, tower_rig


def row(system):
    return delay_table(system, Lookup.of(system))[0]


@pytest.mark.parametrize(("celsius", "ms"), [(5, 179.5), (35, 170.5)])
def test_60_m(celsius: float, ms: float) -> None:
    """Trap 6: 179.5 ms at 5 degC and 170.5 at 35 degC (with 331.3 sqrt(1 + T/273.15))."""
    found = row(tower_rig(None, celsius, offset=0.0))
    assert found.show_ms == pytest.approx(ms, abs=0.1)
    assert found.difference_m == pytest.approx(60)
    assert found.difference_ft == pytest.approx(196.85, abs=0.01)


def test_set_cold_and_shown_hot() -> None:
    """Trap 6: set with +10 ms at 5 degC, shown at 35: the tower comes 19 ms after the mains."""
    set_right = row(tower_rig(5, 5)).set_ms
    shown = aligned(tower_rig(5, 35, outputs=outputs(tower={"delay_ms": set_right})))
    after = shown.moved_arrival_ms - shown.reference_arrival_ms
    assert after == pytest.approx(19, abs=0.1)
    assert shown.drift_ms == pytest.approx(9, abs=0.1)
    assert shown.delay_ms == pytest.approx(set_right - shown.drift_ms, abs=1e-6)


def test_set_hot_and_shown_cold() -> None:
    """Trap 6 reversed: 1 ms, and the image jumps."""
    set_right = row(tower_rig(35, 35)).set_ms
    shown = aligned(tower_rig(35, 5, outputs=outputs(tower={"delay_ms": set_right})))
    after = shown.moved_arrival_ms - shown.reference_arrival_ms
    assert after == pytest.approx(1, abs=0.1)


def test_a_tower_that_is_set_right_is_left_alone() -> None:
    wished = row(tower_rig(20, 20)).show_ms
    found = aligned(tower_rig(20, 20, outputs=outputs(tower={"delay_ms": wished})))
    assert found.add_ms == pytest.approx(0, abs=1e-9)
    assert found.delay_ms == pytest.approx(wished)
    assert "leave the delay" in found.sentences[0]


@settings(max_examples=30, deadline=None)
@given(st.floats(-20, 45), st.floats(-20, 45), st.floats(5, 150), st.floats(0, 20))
def test_the_table_agrees_with_itself(set_c: float, show_c: float, away: float, offset) -> None:
    """What to enter at either temperature differs by just the drift; a foot is 0.3048 m."""
    system = tower_rig(set_c, show_c, offset, placements=placements(0.0, away))
    at = dataclasses.replace(system.spots[1], y_m=away)
    found = row(dataclasses.replace(system, spots=(system.spots[0], at)))
    assert found.set_ms - found.show_ms == pytest.approx(found.drift_ms, abs=1e-6)
    assert found.difference_ft * 0.3048 == pytest.approx(found.difference_m)
    warmer = set_c < show_c
    assert found.drift_ms == pytest.approx(0, abs=1e-9) or (found.drift_ms > 0) == warmer


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 250), st.floats(0, 100))
def test_a_known_delay_comes_out_again(tower: float, top: float) -> None:
    plain = aligned(tower_rig(20, 20))
    changed = outputs(tower={"delay_ms": tower}, top={"delay_ms": top})
    found = aligned(tower_rig(20, 20, outputs=changed))
    assert plain.add_ms is not None and found.add_ms is not None
    assert found.add_ms == pytest.approx(plain.add_ms - tower + top, abs=1e-9)
    assert found.delay_ms == pytest.approx(plain.delay_ms + top, abs=1e-9)


def test_a_box_behind_the_mains_makes_the_mains_wait() -> None:
    """Below 0 ms nothing can be entered: the reference is what must wait."""
    system = tower_rig(20, 20, 0.0, placements=placements(0.0, -10.0))
    found = aligned(dataclasses.replace(system, spots=(system.spots[0], system.spots[1])))
    assert found.delay_ms == pytest.approx(-1000 * 10 / 343.2, abs=0.01)
    assert "delay Top line by 29.14 ms more instead" in found.sentences[0]


def test_a_sub_s_row_tells_distances() -> None:
    found = row(rig(placements=placements(2.5)))
    assert (found.moved_m, found.reference_m) == pytest.approx((17.5, 20.0))
    assert found.show_ms == pytest.approx(7.284, abs=1e-3)
