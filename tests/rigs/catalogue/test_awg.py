"""American wire gauge."""

import pytest

from rigs.catalogue import awg

# ASTM B258, d = 0.127 mm * 92 ** ((36 - n) / 39): formula from memory (RECALL), the figures are
# its closed form (MATH). Independent of it: the ohms per 1000 ft at 20 degC that a cable-test
# reference table prints (READ, reprint), see the second test.
DIAMETERS_AND_AREAS = {
    10: (2.5882, 5.2612),
    12: (2.0525, 3.3088),
    14: (1.6277, 2.0809),
    16: (1.2908, 1.3087),
    18: (1.0237, 0.8230),
}


@pytest.mark.parametrize(("gauge", "expected"), DIAMETERS_AND_AREAS.items())
def test_diameter_and_area(gauge, expected):
    diameter, area = expected
    assert awg.diameter_mm(gauge) == pytest.approx(diameter, abs=0.00005)
    assert awg.area_mm2(gauge) == pytest.approx(area, abs=0.00005)


@pytest.mark.parametrize(
    ("gauge", "ohm_per_1000_ft"), [(12, 1.588), (16, 4.016), (18, 6.385), (20, 10.15)]
)
def test_area_gives_the_resistance_that_a_reference_table_prints(gauge, ohm_per_1000_ft):
    """Copper at 100 % IACS, 1.7241 microohm cm at 20 degC (READ); 304.8 m are 1000 ft."""
    resistance = 1.7241e-8 * 304.8 / (awg.area_mm2(gauge) * 1e-6)
    assert resistance == pytest.approx(ohm_per_1000_ft, rel=2e-3)


def test_gauges_run_from_thick_to_thin():
    areas = [awg.area_mm2(number) for number in awg.GAUGES.values()]
    assert areas == sorted(areas, reverse=True)


@pytest.mark.parametrize("gauge", [-4, 37])
def test_gauges_that_do_not_exist_are_refused(gauge):
    with pytest.raises(ValueError, match="outside"):
        awg.area_mm2(gauge)
