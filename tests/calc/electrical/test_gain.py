"""Levels and gain, closed forms from the definitions (MATH)."""

import pytest

from calc.electrical.gain import dbu, line_gain, volts_of_dbu
from calc.figure import UNKNOWN
from tests.calc.builders import amplifier, known


@pytest.mark.parametrize(
    ("volts", "level"),
    [
        (0.774597, 0.0), (1.227653, 4.0), (12.2765, 24.0), (0.316228, 2.21849 - 10),
        (1.4, 5.141), (1.0, 2.21849),
    ],
)  # fmt: skip
def test_dbu(volts: float, level: float) -> None:
    """0 dBu = 0.774597 V; +4 dBu = 1.227653 V; -10 dBV = 0.316228 V; +24 dBu = 12.2765 V."""
    assert dbu(volts) == pytest.approx(level, abs=5e-4)
    assert volts_of_dbu(level) == pytest.approx(volts, rel=1e-4)


@pytest.mark.parametrize(
    ("power", "load", "sensitivity", "gain"),
    [(1000, 8, 0.775, 41.245), (1000, 4, 1.0, 36.021), (500, 8, 1.4, 33.098)],
)
def test_gain_from_sensitivity(power, load, sensitivity, gain) -> None:
    amp = amplifier(
        ratings={load: power},
        gain_db=UNKNOWN,
        sensitivity_v=known(sensitivity),
        sensitivity_load_ohm=known(load),
    )
    assert line_gain(amp, "per channel").db == pytest.approx(gain, abs=1e-3)


def test_stated_gain_counts_first_and_bridging_adds() -> None:
    amp = amplifier(sensitivity_v=known(1.0), sensitivity_load_ohm=known(8))
    assert line_gain(amp, "per channel").db == 32
    assert line_gain(amp, "bridged").db == 38
    silent = line_gain(amplifier(modes=()), "bridged")
    assert silent.db == pytest.approx(32 + 6.0206, abs=1e-4)
    assert "circuit theory" in silent.assumed[0]


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"sensitivity_v": known(1.0)},
        {"sensitivity_v": known(1.0), "sensitivity_load_ohm": known(2)},
    ],
)
def test_unknown_gain(changes) -> None:
    found = line_gain(amplifier(gain_db=UNKNOWN, **changes), "per channel")
    assert found.db is None
    assert found.missing
