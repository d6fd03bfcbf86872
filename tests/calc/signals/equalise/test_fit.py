"""The fit against a long search, planted filters and planted nulls."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.figure import Figure
from calc.signals.equalise.answers import Limits
from calc.signals.equalise.equalise import equalise
from calc.signals.equalise.grow import grown_and_pruned
from calc.signals.equalise.peaks import hz_of, level_and_slopes, level_db, place_of
from calc.signals.equalise.spots import SpotResponse, grid_hz
from calc.signals.equalise.targets import FLAT, TargetCurve
from calc.signals.response import filters_response
from calc.system import Dial, Filter, ProcessorAbilities
from tests.calc.signals.equalise import rooms

FS = 48_000.0
SEARCHED = json.loads(Path(__file__).with_name("long_search.json").read_text())
PROCESSOR = ProcessorAbilities(
    filters_per_output=8,
    sampling_hz=Figure(FS),
    filter_hz=Dial(20, 20_000, 24, "steps per octave"),
    filter_gain_db=Dial(-15, 15, 0.5),
    filter_q=Dial(0.4, 20, 0.1),
)


def spot(level, name="A", weight=1.0) -> SpotResponse:
    return SpotResponse(name, tuple(float(v) for v in level), weight)


def curve_db(filters, hz=None) -> np.ndarray:
    """Level of filters by the product's other way of computing it."""
    at = grid_hz() if hz is None else hz
    return 20 * np.log10(np.abs(filters_response(filters, at, FS)))


@pytest.mark.parametrize(
    ("hz", "level"),
    [(100, 0.065), (500, 1.879), (1000, 6.000), (2000, 1.866), (4000, 0.405), (10_000, 0.048)],
)
def test_level_of_a_cookbook_peak(hz: float, level: float) -> None:
    """Peak 1 kHz +6 dB Q 1 at 48 kHz (READ formulae, RUN scipy freqz)."""
    peaks = np.array([[float(place_of(1000.0, FS)), 6.0, 0.0]])
    assert level_db(place_of(np.array([float(hz)]), FS), peaks)[0] == pytest.approx(level, abs=2e-3)


@settings(max_examples=60, deadline=None)
@given(
    hz=st.floats(20, 20_000),
    gain=st.floats(-15, 6),
    q=st.floats(0.4, 12),
    sampled=st.sampled_from([None, 44_100.0, FS, 96_000.0]),
)
def test_level_and_slopes_agree_with_the_filters_and_with_differences(hz, gain, q, sampled) -> None:
    grid = np.geomspace(20, 20_000, 40)
    place = place_of(grid, sampled)
    peak = np.array([[float(place_of(hz, sampled)), gain, np.log(q)]])
    level, slopes = level_and_slopes(place, peak)
    whole = filters_response([Filter("peak", hz, gain_db=gain, q=q)], grid, sampled)
    assert level == pytest.approx(20 * np.log10(np.abs(whole)), abs=1e-6)
    assert hz_of(peak[:, 0], sampled)[0] == pytest.approx(hz)
    for column in range(3):
        step = np.zeros((1, 3))
        step[0, column] = 1e-6
        found = (level_db(place, peak + step) - level_db(place, peak - step)) / 2e-6
        assert slopes[0, column] == pytest.approx(found, abs=1e-4)


def test_close_to_the_best_of_a_long_search() -> None:
    """50 rooms of a published seed: median at most 12 % above the best found, 25 % at the 90th.

    The best is that of `long_search.py`, frozen.
    """
    assert SEARCHED["seed"] == rooms.SEED and len(SEARCHED["residual_db"]) == rooms.ROOMS
    excess = []
    for room, best in enumerate(SEARCHED["residual_db"]):
        problem = rooms.problem(room)
        peaks = grown_and_pruned(problem, rooms.FILTERS)
        assert len(peaks) <= rooms.FILTERS
        assert ((peaks >= problem.least) & (peaks <= problem.most)).all()
        excess.append(problem.residual_db(level_db(problem.place, peaks)) / best - 1)
    assert np.median(excess) <= 0.12
    assert np.percentile(excess, 90) <= 0.25


@pytest.mark.parametrize("seed", range(6))
def test_planted_filters_are_found_again(seed: int) -> None:
    """What three filters made is taken out by their mirror images."""
    rng = np.random.default_rng(seed)
    at = 80 * 2 ** (np.arange(3) * 2.2 + rng.uniform(0, 1, 3))
    planted = [
        Filter("peak", float(hz), gain_db=float(rng.uniform(4, 9)), q=float(rng.uniform(1, 4)))
        for hz in at
    ]
    problem = replace(rooms.problem(0), wanted_db=-curve_db(planted))
    peaks = grown_and_pruned(problem, 3)
    for part, (place, gain, width) in zip(planted, peaks[peaks[:, 0].argsort()], strict=True):
        assert hz_of(place, FS) == pytest.approx(part.frequency_hz, rel=0.002)
        assert gain == pytest.approx(-part.gain_db, abs=0.02)
        assert np.exp(width) == pytest.approx(part.q, rel=0.01)
    result = equalise([spot(curve_db(planted))] * 4, FLAT, PROCESSOR)
    assert result.residual_after_db < 0.2 * result.residual_before_db
    for part in planted:
        near = [f for f in result.filters if abs(np.log(f.frequency_hz / part.frequency_hz)) < 0.1]
        assert any(f.gain_db < -0.5 * part.gain_db for f in near)


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    null_at=st.integers(20, 100),
    deep=st.floats(8, 30),
    boost=st.floats(0, 12),
)
def test_no_boost_into_a_planted_null_and_none_above_the_limit(seed, null_at, deep, boost) -> None:
    rng = np.random.default_rng(seed)
    octaves = np.arange(120) / 12
    level = sum(
        rng.uniform(-6, 6) * np.exp(-(((octaves - rng.uniform(0, 10)) / 0.8) ** 2))
        for _ in range(6)
    )
    level = level - deep * np.exp(-(((np.arange(120) - null_at) / 1.5) ** 2))
    result = equalise([spot(level)], FLAT, PROCESSOR, Limits(boost_db=boost))
    whole = curve_db(result.filters)
    assert whole == pytest.approx(np.array(result.equaliser_db), abs=1e-6)
    assert whole[null_at] <= 0.051
    assert whole.max() <= min(boost, 6.0) + 0.051
    for part in result.left_alone:
        if part.reason not in ("phase", "outside"):
            inside = (grid_hz() > part.low_hz) & (grid_hz() < part.high_hz)
            assert whole[inside].max() <= 0.051
    if any(part.reason == "null" for part in result.left_alone):
        assert "headroom" in next(p.why for p in result.left_alone if p.reason == "null")


def test_settings_lie_on_the_dials() -> None:
    result = equalise([spot(rooms.average_db(n), str(n)) for n in range(4)], FLAT, PROCESSOR)
    assert 0 < len(result.filters) <= 8
    for part in result.filters:
        steps = 24 * np.log2(part.frequency_hz / 1000)
        assert steps == pytest.approx(round(steps), abs=1e-4)
        assert 2 * part.gain_db == pytest.approx(round(2 * part.gain_db), abs=1e-9)
        assert part.q is not None and 10 * part.q == pytest.approx(round(10 * part.q), abs=1e-4)
        assert -12 <= part.gain_db <= 3 and 0.5 <= part.q <= 8


def test_the_same_spots_give_the_same_answer() -> None:
    spots = [spot(rooms.average_db(n), str(n)) for n in range(5)]
    assert equalise(spots, FLAT, PROCESSOR) == equalise(spots, FLAT, PROCESSOR)


def test_predicted_is_measured_plus_filters_for_every_spot() -> None:
    spots = [spot(rooms.average_db(n), str(n)) for n in range(4)]
    result = equalise(spots, FLAT, PROCESSOR)
    whole = curve_db(result.filters)
    for curve in result.spots:
        change = np.array(curve.predicted_db) - np.array(curve.measured_db)
        assert change == pytest.approx(whole, abs=1e-6)
    assert result.residual_after_db < result.residual_before_db
    assert result.headroom_db == pytest.approx(max(0, whole.max()), abs=1e-6)


def test_a_target_is_followed() -> None:
    """A flat system gets the target's shape as far as the lift allows."""
    target = TargetCurve("tilt", (100.0, 10_000.0), (0.0, -6.0))
    result = equalise([spot(np.zeros(120))] * 4, target, PROCESSOR)
    hz = grid_hz()
    inside = (hz > 60) & (hz < 12_000)
    left = (np.array(result.equaliser_db) - target.at(hz))[inside]
    assert left.std() < 0.5


def test_refuses_what_it_cannot_do() -> None:
    level = [spot(np.zeros(120))]
    none = equalise(level, FLAT, ProcessorAbilities(kinds=("high-pass",)))
    assert none.filters == () and "no peak filters" in none.cannot[0]
    few = SpotResponse("A", tuple(0.0 if 50 <= i < 55 else None for i in range(120)))
    assert "Too little" in equalise([few], FLAT, PROCESSOR).cannot[0]
    with pytest.raises(ValueError, match="one listening spot"):
        equalise([], FLAT, PROCESSOR)
    with pytest.raises(ValueError, match="hears nothing"):
        equalise([SpotResponse("A", (None,) * 120)], FLAT, PROCESSOR)
