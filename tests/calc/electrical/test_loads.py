"""Loads: what the amplifier sees."""

import pytest

from calc.electrical.loads import least_load, line_load, parallel_ohm, per_channel_ohm
from calc.figure import UNKNOWN
from calc.system import ModeLimits
from tests.calc.builders import amplifier, known, way


def test_parallel() -> None:
    """4 x 8 ohm are 2 ohm; 8 with 4 ohm are 2.6667 (MATH)."""
    assert parallel_ohm([8] * 4) == pytest.approx(2)
    assert parallel_ohm([8, 4]) == pytest.approx(2.6667, abs=1e-4)


def test_a_bridged_channel_sees_half_and_a_paralleled_one_double() -> None:
    assert per_channel_ohm(8, "bridged") == 4
    assert per_channel_ohm(4, "parallel") == 8
    assert per_channel_ohm(8, "per channel") == 8


def test_minimum_is_stated_or_eighty_per_cent() -> None:
    """IEC 60268-5: not below 80 % of the rated impedance (RECALL): 3 x 8 ohm give 2.13 ohm."""
    stated = line_load([way(minimum=5.0), way(minimum=5.0)])
    assert stated.minimum_ohm == pytest.approx(2.5)
    assert stated.assumed == ()
    assumed = line_load([way(minimum=None)] * 3)
    assert assumed.minimum_ohm == pytest.approx(2.13, abs=0.005)
    assert "0.8 of its rated" in assumed.assumed[0]


def test_one_unknown_box_makes_the_line_unknown() -> None:
    load = line_load([way(), way(impedance=None, minimum=None)])
    assert load.rated_ohm is None and load.minimum_ohm is None
    assert line_load([]).rated_ohm is None


def test_bridged_minimum_is_stated_or_twice_the_channels() -> None:
    stated = least_load(amplifier(bridged_minimum=5), "bridged")
    assert stated.ohm == 5 and not stated.assumed
    taken = least_load(amplifier(minimum=2), "bridged")
    assert taken.ohm == 4
    assert "twice" in taken.assumed[0] and "no source" in taken.source
    assert least_load(amplifier(minimum=4), "parallel").ohm == 2
    assert least_load(amplifier(minimum=None), "bridged").ohm is None


def test_a_mode_that_the_sheet_does_not_mention_is_told() -> None:
    only = (ModeLimits("per channel", known(4), "rated", 0.0),)
    assert not least_load(amplifier(modes=only), "bridged").mode_stated
    assert least_load(amplifier(modes=only, bridged={8: 1400}), "bridged").mode_stated
    assert least_load(amplifier(), "bridged").mode_stated
    assert least_load(amplifier(modes=()), "per channel").ohm is None
    unknown = (ModeLimits("per channel", UNKNOWN, "rated", 0.0),)
    assert least_load(amplifier(modes=unknown), "per channel").ohm is None
