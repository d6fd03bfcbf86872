"""Notches: what they buy in loops that are closed, and what the plan says of them."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import lfilter, resample

from calc.figure import Figure
from calc.serialise import from_plain, to_plain
from calc.signals.feedback.grids import together
from calc.signals.feedback.loop import Loop
from calc.signals.feedback.notches import NotchAsk, NotchPlan, notches_for, shared
from calc.signals.feedback.rings import rings_of
from calc.system import Dial, Filter, ProcessorAbilities
from tests.calc.signals.feedback.paths import (
    FS,
    closed,
    grows,
    loop_of_row,
    loudest_hz,
    made_room,
    ringing_at,
)

DIALS = ProcessorAbilities(
    filters_per_output=12,
    sampling_hz=Figure(float(FS)),
    filter_hz=Dial(20, 20_000, 24, "steps per octave"),
    filter_gain_db=Dial(-18, 18, 0.5),
    filter_q=Dial(0.4, 128, 0.1),
)
FREE = ProcessorAbilities(sampling_hz=Figure(float(FS)))


def through(row: np.ndarray, notches: list[Filter]) -> np.ndarray:
    """A path behind peaks by their difference equation (Audio EQ Cookbook, READ)."""
    out = np.concatenate([row, np.zeros(FS // 5)])
    for part in notches:
        w, a = 2 * np.pi * part.frequency_hz / FS, 10 ** (part.gain_db / 40)
        alpha = np.sin(w) / (2 * (part.q or 1))
        over = [1 + alpha * a, -2 * np.cos(w), 1 - alpha * a]
        under = [1 + alpha / a, -2 * np.cos(w), 1 - alpha / a]
        out = lfilter(over, under, out)
    return out


@pytest.mark.parametrize("material", ["speech", "music"])
@pytest.mark.parametrize("seed", range(2))
def test_a_closed_loop_bears_the_margin_that_the_plan_says(seed: int, material) -> None:
    row = made_room(seed)
    plan = notches_for([loop_of_row("lectern", row)], NotchAsk(material, 4, FREE))
    parts = [one.filter for one in plan.notches]
    assert 1 < len(parts) <= 4
    assert plan.margin_after_db > plan.margin_before_db + 0.5
    with_them = through(row, parts)
    assert not grows(with_them, plan.margin_after_db - 0.1, 9.0)
    assert grows(with_them, plan.margin_after_db + 0.1, 9.0)
    howls = loudest_hz(closed(with_them, plan.margin_after_db + 0.2, 9.0))
    assert min(abs(howls - ring.frequency_hz) for ring in plan.loops[0].rings_after[:3]) < 1.0


def test_the_worst_microphone_decides_and_all_gain_together() -> None:
    rooms = [made_room(seed) for seed in (4, 5, 6)]
    loops = [loop_of_row(f"mic {number}", row) for number, row in enumerate(rooms)]
    loops[1] = replace(loops[1], offset_db=4.0)
    plan = notches_for(loops, NotchAsk("speech", 6, FREE))
    assert plan.margin_before_db == min(loop.margin_before_db for loop in plan.loops)
    assert plan.margin_before_db == plan.loops[1].margin_before_db
    assert plan.margin_after_db == pytest.approx(min(one.margin_after_db for one in plan.loops))
    assert plan.margin_after_db > plan.margin_before_db + 3
    singly = notches_for(loops[:1], NotchAsk("speech", 6, FREE))
    assert singly.loops[0].margin_before_db == plan.loops[0].margin_before_db


def test_two_rings_at_once_need_two_notches_or_a_wide_one() -> None:
    """212 and 226 Hz: one 1/10-octave notch of 6 dB between takes about 3 dB off each (MATH: the
    middle lies 0.046 octaves from either, the half-gain edge 0.05).
    """
    loop = loop_of_row("lectern", ringing_at((212, 0), (226, 0), (900, -14), (2400, -14)))
    assert sorted(round(ring.frequency_hz) for ring in rings_of_loop(loop)[:2]) == [212, 226]
    single = notches_for([loop], NotchAsk("music", 1, FREE, deepest_db=6))
    plan = notches_for([loop], NotchAsk("music", 2, FREE, deepest_db=6))
    said = [one for one in plan.says if "two rings" in one]
    low, high, cut_db = (float(n) for n in re.findall(r"([\d.]+) (?:Hz|dB off)", said[0]))
    assert (round(low), round(high)) == (212, 226) and 2.5 < cut_db < 3.5
    assert "They need two, or a wider one." in said[0]
    gains = [p.margin_after_db - p.margin_before_db for p in (single, plan)]
    assert gains[0] == pytest.approx(3, abs=0.7)
    assert gains[1] > gains[0] + 1.5
    wide = notches_for([loop], NotchAsk("speech", 1, FREE, deepest_db=6))
    assert wide.margin_after_db - wide.margin_before_db > gains[0] + 2
    assert [round(hz) for hz in wide.notches[0].rings_hz] == [212, 226]
    assert any("together" in one for one in wide.says)
    assert not any("two rings" in one for one in wide.says)


def rings_of_loop(loop: Loop):
    return rings_of(loop.frequency_hz, loop.as_set)


@pytest.mark.parametrize(("material", "least", "most"), [("speech", 4.2, 8.8), ("music", 14.2, 40)])
def test_widths_are_those_of_the_material_and_settings_those_of_the_dials(
    material, least: float, most: float
) -> None:
    """Q of 1/3, 1/6 and 1/10 octave: 4.32, 8.65, 14.42 (MATH)."""
    plan = notches_for([loop_of_row("lectern", made_room(7))], NotchAsk(material, 6, DIALS))
    assert plan.notches
    for one in plan.notches:
        part = one.filter
        assert part.kind == "peak" and part.q is not None
        assert least <= part.q <= most
        assert part.q * 10 == pytest.approx(round(part.q * 10))
        steps = 24 * np.log2(part.frequency_hz / 1000)
        assert steps == pytest.approx(round(steps), abs=1e-6)
        assert -12 <= part.gain_db < 0
        assert part.gain_db * 2 == pytest.approx(round(part.gain_db * 2))
        assert one.heard_octaves > 0 and one.costs_db > 0


def test_each_notch_has_its_gain_and_they_add_up() -> None:
    plan = notches_for([loop_of_row("lectern", made_room(1))], NotchAsk("speech", 5, FREE))
    bought = sum(one.adds_db for one in plan.notches)
    assert bought == pytest.approx(plan.margin_after_db - plan.margin_before_db)
    assert all(one.alone_db is not None and one.alone_db > -0.2 for one in plan.notches)
    assert plan.costs_db >= max(one.costs_db for one in plan.notches)


def test_one_notch_that_buys_little_is_said_to() -> None:
    loop = loop_of_row("lectern", ringing_at((300, 0), (900, -0.4), (2000, -0.5)))
    plan = notches_for([loop], NotchAsk("music", 1, FREE))
    assert 0 < plan.notches[0].adds_db < 1.5
    assert any("buys only" in one for one in plan.says)


def test_no_deeper_than_it_needs_to_be() -> None:
    """The next ring lies 5 dB back: a cut of 6 dB does it, one of 12 would be heard for nothing."""
    loop = loop_of_row("lectern", ringing_at((300, 0), (900, -5), (2000, -5.3)))
    plan = notches_for([loop], NotchAsk("music", 1, FREE))
    assert plan.notches[0].filter.gain_db == -6
    assert plan.notches[0].filter.frequency_hz == pytest.approx(300, abs=1)
    assert plan.margin_after_db - plan.margin_before_db == pytest.approx(5, abs=0.3)


def test_wide_notches_bear_moving_rings_better() -> None:
    loop = loop_of_row("lectern", ringing_at((300, 0), (900, -9), (2000, -9.3)))
    lost = {}
    for material in ("speech", "music"):
        plan = notches_for([loop], NotchAsk(material, 1, FREE))
        lost[material] = plan.margin_after_db - plan.drifted_db
    assert 0 <= lost["speech"] < 0.5 * lost["music"]


def test_rings_that_move_by_the_drift_leave_the_margin_that_was_said() -> None:
    """The whole loop 0.9 % faster and slower, notches left as they are."""
    row = made_room(3)
    loop = loop_of_row("lectern", row)
    plan = notches_for([loop], NotchAsk("music", 4, FREE))
    parts = [one.filter for one in plan.notches]
    left = []
    for share in (1.009, 1 / 1.009):
        padded = np.concatenate([row, np.zeros(20_000 - len(row))])
        moved = resample(padded, round(20_000 / share)) * share
        found = loop_of_row("moved", through(moved, parts))
        left.append(rings_of_loop(found)[0].margin_db)
    assert plan.drifted_db == pytest.approx(min(left), abs=0.1)


@pytest.mark.parametrize(
    ("count", "reserve", "both"),
    [(12, None, (6, 6)), (7, None, (4, 3)), (12, 2, (10, 2)), (0, None, (0, 0))],
)
def test_half_is_kept_free_unless_said(count, reserve, both) -> None:
    assert shared(count, reserve) == both


def test_the_reserve_stays_within_the_processors_number() -> None:
    loop = loop_of_row("lectern", made_room(2))
    plan = notches_for([loop], NotchAsk("speech", 6, DIALS, reserve=6, taken=3))
    assert len(plan.notches) <= 3 and plan.reserve == 6
    assert any("room for 3 of the 6" in one for one in plan.says)
    full = notches_for([loop], NotchAsk("speech", 6, DIALS, reserve=6, taken=8))
    assert not full.notches and "none is left to place" in full.cannot[0]
    assert full.margin_after_db == full.margin_before_db


def test_a_processor_without_peaks_places_none() -> None:
    only = ProcessorAbilities(kinds=("all-pass",))
    plan = notches_for([loop_of_row("lectern", made_room(2))], NotchAsk("speech", 6, only))
    assert not plan.notches and "no peak filters" in plan.cannot[0]
    assert plan.says[0] == plan.cannot[0]


def test_an_unknown_level_is_no_pass_and_differences_stay_right() -> None:
    row = made_room(8) * 1e-3
    known, unknown = (loop_of_row("lectern", row, offset_db) for offset_db in (-20.0, None))
    ask = NotchAsk("speech", 3, FREE)
    sure, unsure = notches_for([known], ask), notches_for([unknown], ask)
    assert sure.absolute and not unsure.absolute
    assert any("the margin itself is not" in one for one in unsure.says)
    assert sure.margin_before_db - unsure.margin_before_db == pytest.approx(20)
    bought = [p.margin_after_db - p.margin_before_db for p in (sure, unsure)]
    assert bought[0] == pytest.approx(bought[1])


def test_a_loop_that_rings_already_is_told_first() -> None:
    plan = notches_for([loop_of_row("lectern", 30 * made_room(2))], NotchAsk("speech", 2, FREE))
    assert plan.margin_before_db < 0
    assert "rings at the show position already" in plan.says[0]
    assert any("Notches do not stop it" in one for one in plan.says)


def test_what_noise_hides_is_said_and_no_ring() -> None:
    loop = loop_of_row("lectern", ringing_at((300, 0), (900, 4), (2000, -6)))
    hidden = np.abs(loop.frequency_hz - 900) > 100
    plan = notches_for([replace(loop, believed=hidden)], NotchAsk("music", 1, FREE))
    assert all(abs(ring.frequency_hz - 900) > 100 for ring in plan.loops[0].rings)
    assert plan.loops[0].hidden_hz == pytest.approx(900, abs=1)
    assert any("noise hides the loop around 900 Hz" in one for one in plan.says)


def test_open_microphones_together_ring_sooner() -> None:
    """Two alike: 6.02 dB less (MATH). What is hidden in one hides the sum there."""
    loop = loop_of_row("a", made_room(2))
    both = together("a and b", [loop, replace(loop, name="b")])
    first, sooner = (rings_of_loop(one)[0].margin_db for one in (loop, both))
    assert first - sooner == pytest.approx(6.0206, abs=1e-3)
    doubtful = replace(loop, name="b", believed=np.abs(loop.frequency_hz - 500) > 50)
    partly = together("a and b", [loop, doubtful])
    assert not partly.believed[np.abs(loop.frequency_hz - 500) < 40].any()
    assert partly.believed[np.abs(loop.frequency_hz - 2000) < 40].all()


@settings(max_examples=15, deadline=None)
@given(
    st.integers(0, 500), st.floats(-30, 30), st.integers(0, 5), st.sampled_from(["speech", "music"])
)
def test_gain_moves_every_margin_and_no_notch_lowers_it(seed, gain_db, placed, material) -> None:
    loop = loop_of_row("lectern", made_room(seed))
    ask = NotchAsk(material, placed, DIALS)
    plan = notches_for([loop], ask)
    raised = notches_for([replace(loop, offset_db=gain_db)], ask)
    assert len(plan.notches) <= placed
    assert plan.margin_after_db >= plan.margin_before_db
    assert raised.margin_before_db == pytest.approx(plan.margin_before_db - gain_db)
    assert raised.margin_after_db == pytest.approx(plan.margin_after_db - gain_db)
    pitches = [one.filter.frequency_hz for one in plan.notches]
    assert len(set(pitches)) == len(pitches)


def test_the_plan_is_plain_data_and_comes_back() -> None:
    plan = notches_for([loop_of_row("lectern", made_room(2))], NotchAsk("speech", 3, DIALS))
    assert from_plain(NotchPlan, to_plain(plan)) == plan


def test_bad_input_is_refused_in_words() -> None:
    loop = loop_of_row("lectern", made_room(2))
    other = replace(loop, frequency_hz=loop.frequency_hz * 1.1)
    for loops in ([], [loop, other], [replace(loop, response=0 * loop.response)]):
        with pytest.raises(ValueError, match=r"loop"):
            notches_for(loops, NotchAsk("speech", 2, FREE))
    for fault in ({"placed": -1}, {"material": "jazz"}, {"low_hz": 0}, {"deepest_db": 0}):
        with pytest.raises(ValueError, match=r"notches|cut"):
            NotchAsk(**{"material": "speech", "placed": 2, **fault})
    with pytest.raises(ValueError, match="can't be kept free"):
        shared(4, 5)
