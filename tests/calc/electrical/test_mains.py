"""Mains current and switching order."""

import dataclasses

import pytest

from calc.check import check
from calc.electrical.mains import current_a, usable_a
from calc.figure import UNKNOWN, Figure
from calc.system import AmplifierPlace, RackFeed, Supply
from tests.calc.builders import amplifier, drive_line, known, system


def test_current_at_one_eighth() -> None:
    """2 x 1000 W at 1/8, efficiency 0.65, power factor 0.65, 230 V: 384.6 W, 2.5727 A (MATH)."""
    assert current_a(known(384.6), amplifier()) == pytest.approx(2.5727, rel=1e-4)


def test_unknown_draw_stays_unknown() -> None:
    assert current_a(UNKNOWN, amplifier()) is None
    assert current_a(known(400), amplifier(power_factor=UNKNOWN)) is None
    (draw,) = check(system(amplifiers=(amplifier(idle_w=UNKNOWN),))).draws
    assert draw.idle_a is None and draw.eighth_power_a is not None


def test_generator_to_eighty_per_cent() -> None:
    """20 A continuous are 16 A (NEC 210.19: 125 %, READ)."""
    assert usable_a(Supply("G", 1, known(20), known(120), True)) == pytest.approx(16)
    assert usable_a(Supply("W", 1, known(20), known(120), False)) == 20
    assert usable_a(Supply("W", 1, UNKNOWN, known(120), False)) is None


def ten_amplifiers(supply: Supply):
    """Ten amplifiers of 8 A each at 1/8 power."""
    places = tuple(AmplifierPlace(f"Amp {i}", "R", "Amp") for i in range(10))
    sheet = amplifier(eighth_power_w=Figure(8 * 230 * 0.65))
    return system(
        amplifiers=(sheet,),
        amplifier_places=places,
        drive_lines=(drive_line(amplifier_place="Amp 0"),),
        supplies=(supply,),
    )


def supply_finding(described):
    prediction = check(described)
    return next(f for f in prediction.findings if f.check == "supply"), prediction


@pytest.mark.parametrize(
    ("supply", "state"),
    [
        (Supply("Big", 3, known(125), known(230), False), "holds"),
        (Supply("32 A", 3, known(32), known(230), False), "tight"),
        (Supply("32 A generator", 3, known(32), known(230), True), "fails"),
        (Supply("Wall", 1, known(63), known(230), False), "fails"),
        (Supply("Wall", 1, UNKNOWN, known(230), False), "cannot check"),
    ],
)
def test_total_against_the_supply(supply: Supply, state: str) -> None:
    """Ten amplifiers of 8 A on 3 x 32 A: 80 A of 96, but plugged 5/3/2 one phase has 40 A."""
    finding, prediction = supply_finding(ten_amplifiers(supply))
    assert finding.state == state
    assert finding.value == pytest.approx(80)
    balance = any("Balance between the phases" in text for text in prediction.unchecked)
    assert balance == (supply.phases == 3)


def test_no_supply_or_no_figure_is_no_pass() -> None:
    assert supply_finding(system(supplies=()))[0].state == "cannot check"
    unknown = system(amplifiers=(amplifier(eighth_power_w=UNKNOWN),))
    finding, _ = supply_finding(unknown)
    assert finding.state == "cannot check" and finding.value is None
    assert "Rack 1 A" in finding.sentence


def test_another_mains_voltage_is_told() -> None:
    wall = Supply("Wall", 1, known(20), known(120), False)
    assert any("230 V" in text for text in check(system(supplies=(wall,))).unchecked)


def test_a_lower_supply_voltage_takes_more_current() -> None:
    """The same 400 W at 0.65 of 120 V instead of 230 V: 5.128 instead of 2.676 A (MATH)."""
    low, high = (Supply("Wall", 1, known(4), known(v), False) for v in (120, 240))
    finding, prediction = supply_finding(system(supplies=(low,)))
    assert prediction.draws[0].programme_a == pytest.approx(5.128, abs=5e-4)
    assert finding.state == "fails"
    assert check(system(supplies=(high,))).draws[0].programme_a == pytest.approx(2.676, abs=5e-4)
    by_feed = system(supplies=(low, dataclasses.replace(high, name="Board")))
    fed = dataclasses.replace(by_feed, rack_feeds=(RackFeed("Rack 1", "Board", 1),))
    assert check(by_feed).draws[0].eighth_power_a == pytest.approx(5.128, abs=5e-4)
    assert check(fed).draws[0].eighth_power_a == pytest.approx(2.676, abs=5e-4)


def test_switching_order() -> None:
    """Processors first, then one amplifier at a time, the largest inrush first."""
    small, big = amplifier("Small", inrush_a=known(10)), amplifier("Big", inrush_a=known(60))
    odd = amplifier("Odd", inrush_a=UNKNOWN)
    described = system(
        amplifiers=(small, big, odd),
        amplifier_places=(
            AmplifierPlace("A", "R1", "Small"),
            AmplifierPlace("B", "R1", "Big"),
            AmplifierPlace("C", "R2", "Odd"),
        ),
        drive_lines=(),
    )
    steps = check(described).start_order
    assert [next(n for n in ("FOH", "A (", "B (", "C (", "reverse") if n in s) for s in steps] == [
        "FOH", "C (", "B (", "A (", "reverse",
    ]  # fmt: skip
