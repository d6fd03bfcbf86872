"""Amplifier volts at and between rated loads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.electrical.amplifiers import output_impedance_ohm, voltage_bounds
from tests.calc.builders import amplifier


def test_rated_loads() -> None:
    """1000 W into 8 ohm is 89.4427 V, into 4 ohm 63.2456 V (MATH)."""
    amp = amplifier(ratings={8: 1000, 4: 1000})
    assert voltage_bounds(amp, "per channel", 8).low_v == pytest.approx(89.4427, rel=1e-5)
    assert voltage_bounds(amp, "per channel", 4).high_v == pytest.approx(63.2456, rel=1e-5)


def test_bridged_is_twice_the_volts_at_half_the_load() -> None:
    """2 x 500 W at 4 ohm bridged into 8 ohm: 1000 W (MATH). 700 W: 105.8 V, 1400 W."""
    bounds = voltage_bounds(amplifier(ratings={4: 500}), "bridged", 8)
    assert bounds.low_v is not None
    assert bounds.low_v**2 / 8 == pytest.approx(1000)
    assert "twice one channel's volts" in bounds.assumed[0]
    assert voltage_bounds(amplifier(), "bridged", 8).low_v == pytest.approx(105.8, abs=0.05)


def test_a_bridged_rating_counts_before_theory() -> None:
    bounds = voltage_bounds(amplifier(bridged={8: 1200}), "bridged", 8)
    assert bounds.low_v is not None and bounds.low_v**2 / 8 == pytest.approx(1200)
    assert bounds.assumed == ()


def test_paralleled_channels_share_the_load() -> None:
    """Two channels of 400 W at 8 ohm on 4 ohm together: 800 W."""
    bounds = voltage_bounds(amplifier(), "parallel", 4)
    assert bounds.low_v is not None and bounds.low_v**2 / 4 == pytest.approx(800)


def test_outside_of_the_rated_loads_is_unknown() -> None:
    for load in (2, 16):
        bounds = voltage_bounds(amplifier(), "per channel", load)
        assert bounds.low_v is None and bounds.high_v is None
        assert f"around {load} ohm" in bounds.missing
    assert voltage_bounds(amplifier(ratings={8: 400, 4: None}), "per channel", 4).low_v is None


@given(st.floats(2.01, 7.99), st.floats(200, 500), st.floats(1.0, 2.0), st.floats(1.0, 2.0))
def test_bounds_between_rated_loads(load, at_8, first, second) -> None:
    """Volts grow with the load and current falls with it: the bounds respect both."""
    at_4 = at_8 * first
    at_2 = at_4 * second
    amp = amplifier(ratings={8: at_8, 4: at_4, 2: at_2})
    bounds = voltage_bounds(amp, "per channel", load)
    lower, upper = (2, 4) if load <= 4 else (4, 8)
    v_lower = voltage_bounds(amp, "per channel", lower).low_v
    v_upper = voltage_bounds(amp, "per channel", upper).low_v
    assert bounds.low_v <= bounds.high_v * (1 + 1e-9)
    assert v_lower * (1 - 1e-9) <= bounds.low_v
    assert bounds.high_v <= v_upper * (1 + 1e-9)
    assert v_upper / upper * (1 - 1e-9) <= bounds.low_v / load
    assert bounds.high_v / load <= v_lower / lower * (1 + 1e-9)


@given(st.floats(4.0, 8.0))
def test_bridging_equals_two_half_loads(half: float) -> None:
    """Each channel gives what it gives into half of the bridged load; powers add."""
    amp = amplifier()
    single = voltage_bounds(amp, "per channel", half)
    pair = voltage_bounds(amp, "bridged", 2 * half)
    assert pair.low_v**2 / (2 * half) == pytest.approx(2 * single.low_v**2 / half)
    assert pair.high_v == pytest.approx(2 * single.high_v)


def test_damping_factor_is_re_8_ohm() -> None:
    assert output_impedance_ohm(amplifier(), "per channel") == pytest.approx(0.016)
    assert output_impedance_ohm(amplifier(), "bridged") == pytest.approx(0.032)
    assert output_impedance_ohm(amplifier(), "parallel") == pytest.approx(0.008)
