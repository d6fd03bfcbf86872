"""What to enter for each box of an array, and what is said about it."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics.air import speed_of_sound
from calc.signals.arrays import ArrayPlan, array_plan
from tests.calc.builders import placement

C = speed_of_sound(20)


def subs(*places: tuple[float, float]):
    return [placement(f"Sub {i}", x_m=x, y_m=y, z_m=0.4) for i, (x, y) in enumerate(places, 1)]


def band(plan: ArrayPlan, hz: float):
    return next(b for b in plan.bands if b.band_hz == hz)


def test_end_fire_delays_grow_forwards() -> None:
    """1 m at 343.2 m/s are 2.914 ms a step."""
    plan = array_plan(subs((0, 0), (0, 1), (0, 2), (0, 3)), "end-fire", 80)
    assert [e.delay_ms for e in plan.elements] == pytest.approx([0, 2.914, 5.828, 8.741], abs=1e-3)
    assert not any(e.inverted for e in plan.elements)
    for found in plan.bands:
        assert found.forward_loss_db == pytest.approx(0, abs=1e-6)
        assert found.behind_db < -5 or found.band_hz < 40


def test_a_gradient_delays_and_inverts_the_rear() -> None:
    """0.857 m are 2.497 ms; 80 Hz ahead +5.58 dB re one box: 0.44 below two (checks.md 7)."""
    plan = array_plan(subs((0, 0), (0, -0.857)), "gradient", 80)
    front, rear = plan.elements
    assert (front.delay_ms, front.inverted) == (0, False)
    assert rear.inverted and rear.delay_ms == pytest.approx(2.497, abs=1e-3)
    assert band(plan, 80).forward_loss_db == pytest.approx(6.021 - 5.583, abs=0.08)
    behind = next(p for p in plan.polars if p.band_hz == 80).level_db[36]
    assert behind == -60
    assert plan.limits[0].hz == pytest.approx(C / 2 / 0.857)
    assert plan.limits[0].state == "holds"


def test_a_gradient_s_low_bass_costs_level() -> None:
    """Two rows 0.857 m apart lose 6.02 + 2.33 dB at 25 Hz (checks.md 7), and it is said."""
    plan = array_plan(subs((0, 0), (0, -0.857)), "gradient", 80, bands_hz=(25.0, 80.0))
    assert band(plan, 25.0).forward_loss_db == pytest.approx(8.35, abs=0.1)
    assert any("costs most in the 25 Hz band" in sentence for sentence in plan.sentences)


def test_spaced_too_wide_is_named() -> None:
    """6 m apart: nulls from c/12 = 28.6 Hz; for 80 Hz they must stand within 2.145 m."""
    plan = array_plan(subs((-3, 0), (3, 0)), "spaced", 80)
    limit = plan.limits[0]
    assert (limit.name, limit.state) == ("lobes to the sides", "fails")
    assert limit.hz == pytest.approx(28.6)
    assert "2.15 m" in limit.sentence or "2.14 m" in limit.sentence
    assert plan.sentences[0] == limit.sentence
    near = array_plan(subs((-0.5, 0), (0.5, 0)), "spaced", 80)
    assert near.limits[0].state == "holds"


def test_a_wide_row_narrows_and_an_arc_opens_it_again() -> None:
    """Eight boxes over 10.5 m at 80 Hz."""
    row = subs(*[(1.5 * i - 5.25, 0) for i in range(8)])
    straight = band(array_plan(row, "spaced", 80), 80.0).opening_deg
    openings = [
        band(array_plan(row, "arc by delay", 80, opening_deg=wish), 80.0).opening_deg
        for wish in (40, 80, 120)
    ]
    assert straight is not None and straight < 40
    assert openings[0] is not None and openings[1] is not None
    assert straight < openings[0] < openings[1]
    assert openings[2] is None or openings[2] > openings[1]


def test_an_arc_s_outer_boxes_stand_on_its_circle() -> None:
    """90 degrees over 6 m: R = 3/sin 45 = 4.243 m, set back 1.243 m = 3.621 ms; mirrored."""
    plan = array_plan(subs((-3, 0), (-1, 0), (1, 0), (3, 0)), "arc by delay", 80, opening_deg=90)
    delays = [e.delay_ms for e in plan.elements]
    inner = 4.2426 - math.sqrt(4.2426**2 - 1)
    outer = 4.2426 - 3
    assert delays[0] == pytest.approx(1000 * (outer - inner) / C, abs=1e-3)
    assert delays == pytest.approx(delays[::-1])
    assert min(delays) == 0


def test_the_stage_is_quieter_behind_a_gradient() -> None:
    """2 m behind the rear box, the rear wave is weakened, against a spot as far ahead."""
    boxes = subs((0, 0), (0, -0.857))
    quiet = band(array_plan(boxes, "gradient", 80, stage_m=(0, -6, 0.4)), 63.0).stage_db
    plain = band(array_plan(boxes, "spaced", 80, stage_m=(0, -6, 0.4)), 63.0).stage_db
    assert quiet is not None and plain is not None
    assert quiet < -10 < plain


@settings(max_examples=25, deadline=None)
@given(st.floats(-180, 180), st.floats(-30, 30), st.sampled_from(["gradient", "end-fire"]))
def test_turned_and_moved_as_a_whole_nothing_changes(turn: float, by: float, kind) -> None:
    places = [(0.0, 0.0), (0.0, 1.0)]
    plain = array_plan(subs(*places), kind, 80, aim_deg=0)
    sin, cos = math.sin(math.radians(turn)), math.cos(math.radians(turn))
    turned = [(by + x * cos + y * sin, by - x * sin + y * cos) for x, y in places]
    other = array_plan(subs(*turned), kind, 80, aim_deg=turn)
    for one, two in zip(plain.elements, other.elements, strict=True):
        assert two.delay_ms == pytest.approx(one.delay_ms, abs=1e-6)
        assert two.inverted == one.inverted
    for one, two in zip(plain.polars, other.polars, strict=True):
        assert two.level_db == pytest.approx(one.level_db, abs=1e-4)


@pytest.mark.parametrize(
    ("boxes", "kind", "more", "said"),
    [
        (subs((0, 0)), "spaced", {}, "2 to 64"),
        (subs((0, 0), (0, 0)), "spaced", {}, "same place"),
        (subs((0, 0), (1, 0)), "gradient", {}, "two rows"),
        (subs((0, 0), (0, 1), (0, 2)), "gradient", {}, "two rows"),
        (subs((0, 0), (1, 0)), "end-fire", {}, "one behind the other"),
        (subs((0, 0), (0, 1)), "arc by delay", {}, "side by side"),
        (subs((0, 0), (1, 0)), "arc by delay", {"opening_deg": 200}, "opening angle"),
        (subs((0, 0), (1, 0)), "star", {}, "no kind"),
        (subs((0, 0), (1, 0)), "spaced", {"design_hz": 5000}, "500 Hz"),
        (subs((0, 0), (1, 0)), "spaced", {"radius_m": 0.1}, "distance"),
        (subs((0, 0), (float("nan"), 0)), "spaced", {}, "numbers"),
    ],
)
def test_what_cannot_be_is_refused_in_words(boxes, kind, more, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        array_plan(boxes, kind, **({"design_hz": 80} | more))
