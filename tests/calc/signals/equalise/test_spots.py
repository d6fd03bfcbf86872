"""Averages, masks, targets, dials, the graphic equaliser, and checking again."""

import numpy as np
import pytest
from scipy.signal import fftconvolve

from calc.signals.equalise.again import checked_again
from calc.signals.equalise.equalise import equalise
from calc.signals.equalise.graphic import BAND_Q, graphic
from calc.signals.equalise.mask import nulls
from calc.signals.equalise.settable import nearest
from calc.signals.equalise.spots import SpotResponse, grid_hz, spot_of, together
from calc.signals.equalise.targets import FLAT, OWN, TargetCurve
from calc.signals.measuring.played import pink_noise
from calc.signals.measuring.transfer import transfer
from calc.signals.response import filters_response
from calc.system import Dial
from tests.calc.signals.equalise import rooms
from tests.calc.signals.equalise.test_fit import PROCESSOR, spot

FS = 48_000.0


def test_power_average_and_spread() -> None:
    """0 and -6.0206 dB: mean power 0.625, -2.0412 dB; deviation 3.0103. MATH."""
    one, other = np.zeros(120), np.zeros(120)
    other[10] = -6.0206  # below the mids, so that no level changes
    heard = together([spot(one, "A"), spot(other, "B")])
    assert heard.average_db[10] == pytest.approx(-2.0412, abs=1e-3)
    assert heard.spread_db[10] == pytest.approx(3.0103, abs=1e-3)
    weighted = together([spot(one, "A", 3.0), spot(other, "B", 1.0)])
    assert weighted.average_db[10] == pytest.approx(10 * np.log10(0.8125), abs=1e-3)


def test_a_nearer_spot_does_not_rule() -> None:
    level = rooms.average_db(3)
    apart = together([spot(level, "near"), spot(level - 20, "far")])
    assert apart.spread_db.max() < 1e-9


def test_spots_that_disagree_are_left_alone() -> None:
    one, other = np.zeros(120), np.zeros(120)
    one[30:36], other[30:36] = 8.0, -8.0
    result = equalise([spot(one, "A"), spot(other, "B")], FLAT, PROCESSOR)
    hz = grid_hz()[32]
    assert any(p.reason == "spots" and p.low_hz < hz < p.high_hz for p in result.left_alone)


def test_unknown_places_and_the_system_s_end_are_left_alone() -> None:
    level = np.zeros(120)
    level[:24] = -np.arange(24)[::-1] * 2.0
    values = [float(v) for v in level]
    values[70:74] = [None] * 4  # type: ignore[list-item]
    result = equalise([SpotResponse("A", tuple(values))], FLAT, PROCESSOR)
    reasons = {part.reason for part in result.left_alone}
    assert {"coherence", "range"} <= reasons
    assert max(result.equaliser_db[:12]) <= 0.051
    assert result.average_db[71] is None and result.spots[0].predicted_db[71] is None


def test_a_wide_dip_is_no_null() -> None:
    narrow, wide = np.zeros(120), np.zeros(120)
    narrow[50:53], wide[40:60] = -9.0, -9.0
    assert nulls(narrow)[50:53].all() and not nulls(narrow)[:48].any()
    assert not nulls(wide).any()


def test_targets_go_straight_over_the_octaves() -> None:
    """Half way in octaves between 100 Hz and 400 Hz lies 200 Hz. MATH."""
    target = TargetCurve("own", (100.0, 400.0), (4.0, 0.0))
    assert target.at(np.array([50.0, 200.0, 800.0])) == pytest.approx([4.0, 2.0, 0.0])
    assert {curve.name for curve in OWN} == {"flat", "gentle slope", "speech", "dance"}
    with pytest.raises(ValueError, match="rise"):
        TargetCurve("own", (400.0, 100.0), (0.0, 0.0))
    with pytest.raises(ValueError, match="a level for every"):
        TargetCurve("own", (400.0,), ())


@pytest.mark.parametrize(
    ("dial", "value", "set_to"),
    [
        (Dial(-15, 15, 0.5), 2.26, 2.5),
        (Dial(-15, 15, 0.5), 99.0, 15.0),
        (Dial(0.3, 20, 0.25), 0.1, 0.5),  # 0.25 lies below the least
        (Dial(20, 20_000, 1, "steps per octave"), 700.0, 500.0),
        (Dial(20, 20_000, 1, "steps per octave"), 710.0, 1000.0),
        (Dial(), 1234.5, 1230.0),
    ],
)
def test_nearest_setting(dial: Dial, value: float, set_to: float) -> None:
    assert nearest(dial, np.array([value]))[0] == pytest.approx(set_to)


def test_graphic_bands_are_solved_together() -> None:
    """A plateau of 6 dB too much from 250 Hz to 2 kHz: sliders at -6 would sum to about -10."""
    level = np.zeros(120)
    level[44:80] = 6.0
    result = graphic([spot(level)] * 4, FLAT)
    assert len(result.filters) == 31
    assert [round(f.frequency_hz, 1) for f in result.filters[16:18]] == [794.3, 1000.0]
    assert all((2 * f.gain_db).is_integer() and abs(f.gain_db) <= 12 for f in result.filters)
    inside = np.array(result.equaliser_db)[50:74]
    sliders = np.array([f.gain_db for f in result.filters])
    plain = filters_response(
        [type(f)("peak", f.frequency_hz, gain_db=-6.0, q=BAND_Q) for f in result.filters[12:20]],
        np.array([800.0]),
    )
    assert inside.std() < 0.4
    assert np.ptp(np.array(result.predicted_db)[50:74]) < 1.5
    assert 20 * np.log10(abs(plain[0])) < -8  # why the interaction must be solved
    assert sliders[13:19].mean() > 0.8 * inside.mean()


def test_width_of_a_graphic_band() -> None:
    """A third of an octave between half-gain edges: Q = 1 / (2 sinh(ln 2 / 6)) = 4.318. MATH."""
    assert pytest.approx(4.318, abs=1e-3) == BAND_Q


def heard_through(delays_and_gains, seed=1) -> SpotResponse:
    """A spot behind reflections of a pink noise, by way of the transfer function."""
    played = pink_noise(30, FS, seed=seed).samples
    path = np.zeros(2000)
    for delay, gain in delays_and_gains:
        path[delay] += gain
    return spot_of("A", transfer(played, fftconvolve(played, path)[: len(played)], FS))


def test_a_dip_of_minimum_phase_may_be_lifted_and_the_other_not() -> None:
    """1 + 0.8 z^-n has its zeros inside of the circle, 0.8 + z^-n outside. MATH."""
    kept = heard_through([(100, 1.0), (148, 0.8)])
    turned = heard_through([(100, 0.8), (148, 1.0)])
    dip = int(np.argmin(np.abs(grid_hz() - 500)))  # half of 48 samples: 500 Hz
    assert kept.excess is not None and turned.excess is not None
    assert not any(kept.excess[dip - 2 : dip + 3])
    assert any(turned.excess[dip - 2 : dip + 3])
    assert equalise([turned], FLAT, PROCESSOR).equaliser_db[dip] <= 0.051


def test_measured_again_as_predicted_and_not() -> None:
    spots = [spot(rooms.average_db(n), str(n)) for n in range(4)]
    planned = equalise(spots, FLAT, PROCESSOR)
    whole = np.array(planned.equaliser_db)
    done = [spot(np.array(before.level_db) + whole, before.name) for before in spots]
    good = checked_again(planned, done, FS)
    assert good.off_prediction_db == pytest.approx(0, abs=0.2)
    assert {part.says for part in good.filters} == {"does what was predicted"}
    nothing = checked_again(planned, spots, FS)
    assert nothing.off_prediction_db > 1
    assert any("off" in part.says or "nothing" in part.says for part in nothing.filters)
    assert "Not the same spots" in checked_again(planned, done[1:], FS).cannot[0]
