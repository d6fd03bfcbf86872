"""Conductors against ASTM B258, IEC 60228 and the NEC's table."""

import dataclasses

import pytest

from calc.electrical.cables import (
    area_of_awg_mm2,
    at_temperature,
    maximum_ohm_per_m,
    nominal_ohm_per_m,
    run_resistance,
)
from calc.figure import Figure
from calc.system import Choices
from tests.calc.builders import cable

AT_20 = Choices(cable_temperature_c=20.0)


@pytest.mark.parametrize(
    ("gauge", "area"), [(10, 5.2612), (12, 3.3088), (14, 2.0809), (16, 1.3087), (18, 0.8230)]
)
def test_awg_areas(gauge: int, area: float) -> None:
    """ASTM B258 (formula RECALL, areas MATH)."""
    assert area_of_awg_mm2(gauge) == pytest.approx(area, rel=1e-4)


def test_awg_out_of_range() -> None:
    with pytest.raises(ValueError, match="between"):
        area_of_awg_mm2(41)


@pytest.mark.parametrize(("gauge", "per_kft"), [(12, 1.588), (16, 4.016), (18, 6.385), (20, 10.15)])
def test_solid_wire_at_20_c(gauge: int, per_kft: float) -> None:
    """A cable-test reference table, 20 degC (READ reprint); solid wire within 0.2 %."""
    found = nominal_ohm_per_m(area_of_awg_mm2(gauge)) * 304.8
    assert found == pytest.approx(per_kft, rel=2e-3)


@pytest.mark.parametrize(
    ("gauge", "per_kft"), [(10, 1.21), (12, 1.93), (14, 3.07), (16, 4.89), (18, 7.77)]
)
def test_solid_wire_at_75_c(gauge: int, per_kft: float) -> None:
    """NEC chapter 9 table 8, uncoated solid, 75 degC (READ reprint; three figures)."""
    found = at_temperature(nominal_ohm_per_m(area_of_awg_mm2(gauge)), 75) * 304.8
    assert found == pytest.approx(per_kft, rel=5e-3)


@pytest.mark.parametrize(
    ("area", "conductor_class", "ohm_per_km"),
    [
        (1.5, "1/2", 12.1), (2.5, "1/2", 7.41), (4, "1/2", 4.61), (6, "1/2", 3.08),
        (10, "1/2", 1.83),
        (1.5, "5", 13.3), (2.5, "5", 7.98), (4, "5", 4.95), (6, "5", 3.30), (10, "5", 1.91),
        (1.5, "5 tinned", 13.7), (2.5, "5 tinned", 8.21), (4, "5 tinned", 5.09),
        (6, "5 tinned", 3.39), (10, "5 tinned", 1.95),
    ],
)  # fmt: skip
def test_iec_60228_maximum(area: float, conductor_class: str, ohm_per_km: float) -> None:
    """IEC 60228, maximum at 20 degC (READ, three reprints)."""
    found, tabulated = maximum_ohm_per_m(area, conductor_class)
    assert tabulated
    assert found * 1000 == pytest.approx(ohm_per_km, rel=1e-12)


@pytest.mark.parametrize(
    ("area", "ohm_per_km"), [(1.5, 11.494), (2.5, 6.896), (4, 4.310), (6, 2.874), (10, 1.724)]
)
def test_ideal_copper(area: float, ohm_per_km: float) -> None:
    """Resistivity over area at 100 % IACS (MATH)."""
    assert nominal_ohm_per_m(area) * 1000 == pytest.approx(ohm_per_km, rel=2e-4)


def test_temperature() -> None:
    """7.41 ohm/km at 75 degC is 9.0114 (MATH); to 20 degC x 0.926 at 40, 0.862 at 60 (READ)."""
    assert at_temperature(7.41, 75) == pytest.approx(9.0114, rel=1e-4)
    assert 1 / at_temperature(1, 40) == pytest.approx(0.926, rel=4e-3)
    assert 1 / at_temperature(1, 60) == pytest.approx(0.862, rel=4e-3)


def test_area_outside_of_the_table_is_said_to_be_assumed() -> None:
    """12 AWG is no IEC area: between the neighbours' figures, above ideal copper."""
    area = area_of_awg_mm2(12)
    found, tabulated = maximum_ohm_per_m(area, "5")
    assert not tabulated
    assert 4.95e-3 < found < 7.98e-3
    assert 1.05 < found / nominal_ohm_per_m(area) < 1.2
    run = run_resistance(cable(area=area), 1, AT_20)
    assert any("scaled from the nearest area" in text for text in run.assumed)


def test_loop_counts_both_conductors_and_all_pieces() -> None:
    """2.5 mm2 class 5, 30 m: 0.4788 ohm (MATH on IEC 60228), at 70 degC 5.729 / 4.788 more."""
    assert run_resistance(cable(length=30), 1, AT_20).loop_ohm == pytest.approx(0.4788, abs=1e-4)
    assert run_resistance(cable(length=10), 3, AT_20).loop_ohm == pytest.approx(0.4788, abs=1e-4)
    hot = run_resistance(cable(length=30), 1, Choices(cable_temperature_c=70.0)).loop_ohm
    assert hot == pytest.approx(0.5729, abs=1e-4)


def test_nominal_is_a_choice_and_needs_no_class() -> None:
    """1.5 mm2, 60 m of ideal copper: 1.38 ohm."""
    choices = Choices(cable_temperature_c=20.0, conductor_resistance="nominal")
    run = run_resistance(cable(area=1.5, length=60, conductor_class="unknown"), 1, choices)
    assert run.loop_ohm == pytest.approx(1.38, abs=0.005)


@pytest.mark.parametrize(
    ("sheet", "missing"),
    [
        (None, "which cable"),
        (cable(area=None), "conductor area"),
        (cable(length=None), "length"),
        (cable(conductor_class="unknown"), "conductor class"),
    ],
)
def test_unknown_stays_unknown(sheet, missing) -> None:
    run = run_resistance(sheet, 1, AT_20)
    assert run.loop_ohm is None
    assert missing in run.missing


def test_working_names_the_basis_of_the_area() -> None:
    measured = dataclasses.replace(cable(), area_mm2=Figure(2.5, "measured"))
    assert "(measured)" in run_resistance(measured, 1, AT_20).working
