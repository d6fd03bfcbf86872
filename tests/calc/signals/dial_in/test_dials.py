"""Rounding to a dial, by hand and over random values."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.signals.dial_in.dials import at_least, at_most, closest, half_step, nearest
from calc.system import Dial

GAIN = Dial(-40.0, 12.0, 0.5)
CORNER = Dial(20.0, 20_000.0, 24, "steps per octave")


@pytest.mark.parametrize(
    ("dial", "value", "down", "near", "up"),
    [
        (GAIN, -3.2, -3.5, -3.0, -3.0),
        (GAIN, -3.0, -3.0, -3.0, -3.0),
        (GAIN, 12.1, 12.0, None, None),
        (GAIN, -41.0, None, None, -40.0),
        (Dial(step=0.02), 7.25, 7.24, 7.24, 7.26),
        (Dial(), 7.123, 7.123, 7.123, 7.123),
        (Dial(most=5.0), 7.0, 5.0, None, None),
        (CORNER, 1000.0, 1000.0, 1000.0, 1000.0),
        (CORNER, 1010.0, 1000.0, 1000.0, 1000 * 2 ** (1 / 24)),
    ],
)
def test_by_hand(dial, value, down, near, up) -> None:
    for found, wanted in ((at_most, down), (nearest, near), (at_least, up)):
        got = found(dial, value)
        assert got is None if wanted is None else got == pytest.approx(wanted)


@given(
    st.floats(-60, 60),
    st.sampled_from([0.01, 0.1, 0.25, 0.5, 1.0, 1 / 48]),
    st.sampled_from([(None, None), (-40.0, 12.0), (-30.3, 9.9)]),
)
def test_linear_dials(value, step, ends) -> None:
    dial = Dial(*ends, step)
    down, near, up = at_most(dial, value), nearest(dial, value), at_least(dial, value)
    for one in (down, near, up):
        if one is not None:
            assert abs(one / step - round(one / step)) < 1e-6
            assert (ends[0] is None or one >= ends[0] - 1e-6) and (
                ends[1] is None or one <= ends[1] + 1e-6
            )
    if down is not None:
        assert down <= value + 1e-6
    if up is not None:
        assert up >= value - 1e-6
    if down is not None and up is not None and near is not None:
        assert abs(near - value) <= half_step(dial, value) + 1e-6
    assert math.isfinite(closest(dial, value))


@given(st.floats(20, 20_000), st.sampled_from([3, 12, 24, 48]))
def test_dials_in_equal_ratios(value, step) -> None:
    near = nearest(Dial(None, None, step, "steps per octave"), value)
    assert near is not None and abs(math.log2(near / value)) <= 0.5 / step + 1e-9
