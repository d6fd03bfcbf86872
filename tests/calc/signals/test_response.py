"""Responses against tables, scipy and pyfar, none of which is used inside."""

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import signal

from calc.figure import Figure
from calc.signals.filters import sections_of
from calc.signals.response import (
    basis_of,
    delay_turn,
    filters_response,
    gain_factor,
    group_delay_ms,
    many_responses,
    output_response,
)
from calc.system import Filter, ProcessorAbilities, ProcessorOutput

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pyfar

FS = 48_000.0
HZ = np.geomspace(20, 20_000, 301)


def db(response):
    return 20 * np.log10(np.maximum(np.abs(response), 1e-12))


def passes(family, order, hz=1000.0):
    """Low and high pass at one corner."""
    return (
        Filter("low-pass", hz, family=family, order=order),
        Filter("high-pass", hz, family=family, order=order),
    )


def at(part, *hz, fs=None, corner="unknown"):
    return filters_response([part], np.array(hz, dtype=float), fs, corner)


# checks.md 5: READ (-6 dB and all-pass: Wikipedia text quoted in a public thread), RUN scipy.
TABLE = {
    ("Butterworth", 2): (-0.2633, -3.0103, -12.3045),
    ("Butterworth", 3): (-0.0673, -3.0103, -18.1291),
    ("Butterworth", 4): (-0.0169, -3.0103, -24.0993),
    ("Linkwitz-Riley", 2): (-1.9382, -6.0206, -13.9794),
    ("Linkwitz-Riley", 4): (-0.5266, -6.0206, -24.6090),
    ("Linkwitz-Riley", 8): (-0.0339, -6.0206, -48.1987),
}


@pytest.mark.parametrize(("family", "order"), TABLE)
def test_low_and_high_pass_at_half_once_and_twice_the_corner(family, order):
    low, high = passes(family, order)
    np.testing.assert_allclose(db(at(low, 500, 1000, 2000)), TABLE[family, order], atol=1e-3)
    np.testing.assert_allclose(db(at(high, 2000, 1000, 500)), TABLE[family, order], atol=1e-3)


@pytest.mark.parametrize(
    ("family", "order", "same", "inverted", "between_deg"),
    [  # checks.md 5, as above
        ("Butterworth", 2, None, 3.0103, 180),
        ("Butterworth", 3, 0.0, 0.0, 90),
        ("Butterworth", 4, 3.0103, None, 0),
        ("Linkwitz-Riley", 2, None, 0.0, 180),
        ("Linkwitz-Riley", 4, 0.0, None, 0),
        ("Linkwitz-Riley", 6, None, 0.0, 180),  # MATH: two Butterworths of third order
        ("Linkwitz-Riley", 8, 0.0, None, 0),
    ],
)
def test_sum_at_the_corner(family, order, same, inverted, between_deg):
    low, high = (at(part, 1000.0)[0] for part in passes(family, order))
    for total, wanted in ((low + high, same), (low - high, inverted)):
        if wanted is None:
            assert db(total) < -100
        else:
            assert db(total) == pytest.approx(wanted, abs=1e-3)
    assert abs(np.degrees(np.angle(high / low))) == pytest.approx(between_deg, abs=1e-6)


@pytest.mark.parametrize(
    ("order", "delays"),
    [  # checks.md 5: all-pass group delay, ms at 0, 500 and 1000 Hz
        (2, (0.31831, 0.25465, 0.15915)),
        (4, (0.45016, 0.52960, 0.45016)),
        (8, (0.83178, 0.94874, 1.17632)),
    ],
)
def test_group_delay_of_a_flat_sum(order, delays):
    """Both the slope of the sum's phase and that of each pass by its poles: they are equal."""
    hz, step = np.array([1e-3, 500.0, 1000.0]), 1e-4
    low, high = passes("Linkwitz-Riley", order)
    sign = 1 if order % 4 == 0 else -1

    def total(hz):
        return filters_response([low], hz) + sign * filters_response([high], hz)

    turned = np.angle(total(hz + step) / total(hz - step))
    by_slope = -1000 * turned / (2 * np.pi * 2 * step)
    np.testing.assert_allclose(by_slope, delays, atol=1e-5)
    np.testing.assert_allclose(group_delay_ms([low], hz), delays, atol=1e-5)
    np.testing.assert_allclose(group_delay_ms([high], hz), delays, atol=1e-5)


def test_digital_linkwitz_riley_differs_from_the_analogue_one():
    """checks.md 5: RUN scipy, pyfar `crossover(N=4)` and PyOctaveBand: identical."""
    low, high = passes("Linkwitz-Riley", 4)
    hz = np.array([500.0, 1000, 2000, 4000, 10_000])
    table = [-0.5244, -6.0206, -24.7498, -48.953, -85.477]
    np.testing.assert_allclose(db(filters_response([low], hz, FS)), table, atol=1e-3)
    total = filters_response([low], HZ, FS) + filters_response([high], HZ, FS)
    np.testing.assert_allclose(db(total), 0, atol=1e-9)


@pytest.mark.parametrize("order", range(1, 9))
@pytest.mark.parametrize("fs", [None, FS, 96_000.0])
@pytest.mark.parametrize("kind", ["low-pass", "high-pass"])
def test_butterworth_is_scipys(order, fs, kind):
    ours = filters_response([Filter(kind, 1800.0, "Butterworth", order)], HZ, fs)
    kind = kind.replace("-", "")
    if fs is None:
        _, theirs = signal.freqs(*signal.butter(order, 1800.0, kind, analog=True), HZ)
    else:
        sos = signal.butter(order, 1800.0, kind, fs=fs, output="sos")
        _, theirs = signal.sosfreqz(sos, HZ, fs=fs)
    np.testing.assert_allclose(ours, theirs, atol=1e-8)


@pytest.mark.parametrize("order", range(1, 9))
@pytest.mark.parametrize(("corner", "norm"), [("-3 dB", "mag"), ("phase", "phase")])
@pytest.mark.parametrize("fs", [None, FS])
def test_bessel_is_scipys_in_both_normalisations(order, corner, norm, fs):
    ours = filters_response([Filter("high-pass", 300.0, "Bessel", order)], HZ, fs, corner)
    if fs is None:
        zpk = signal.bessel(order, 300.0, "high", analog=True, norm=norm, output="zpk")
        _, theirs = signal.freqs_zpk(*zpk, HZ)
    else:
        sos = signal.bessel(order, 300.0, "high", norm=norm, output="sos", fs=fs)
        _, theirs = signal.sosfreqz(sos, HZ, fs=fs)
    np.testing.assert_allclose(ours, theirs, atol=1e-6)


# checks.md 5: cookbook formulae READ in two reprints; RUN with another transcription and scipy.
COOKBOOK = [
    (
        Filter("peak", 1000.0, gain_db=6.0, q=1.0),
        (1.04395, -1.89532, 0.86772, -1.89532, 0.91168),
        (0.065, 1.879, 6.000, 1.866, 0.405, 0.048),
    ),
    (
        Filter("peak", 1000.0, gain_db=-6.0, q=1.0),
        (0.95790, -1.81552, 0.87329, -1.81552, 0.83119),
        (-0.065, -1.879, -6.000, -1.866, -0.405, -0.048),
    ),
    (
        Filter("peak", 1000.0, gain_db=6.0, q=4.318),
        (1.01054, -1.96190, 0.96829, -1.96190, 0.97883),
        (0.004, 0.150, 6.000, 0.148, 0.023, 0.003),
    ),
    (
        Filter("notch", 1000.0, q=10.0),
        (0.99352, -1.97003, 0.99352, -1.97003, 0.98703),
        (0.0, -0.019, None, -0.019, -0.003, 0.0),
    ),
    (
        Filter("low shelf", 100.0, gain_db=6.0, q=0.5**0.5),
        (1.00322, -1.98436, 0.98139, -1.98442, 0.98454),
        (3.000, 0.010, 0.001, 0, 0, 0),
    ),
    (
        Filter("high shelf", 8000.0, gain_db=-6.0, q=None),
        (0.63627, -0.27583, 0.13043, -0.79462, 0.28549),
        (0, 0, -0.001, -0.017, -0.285, -4.500),
    ),
]


@pytest.mark.parametrize(("part", "coefficients", "levels"), COOKBOOK)
def test_cookbook_sections(part, coefficients, levels):
    b0, b1, b2, a0, a1, a2 = sections_of(part)[0]
    k = 1 / np.tan(np.pi * part.frequency_hz / FS)
    # The textbook's bilinear transform, spelt out; ours evaluates without it.
    under = a0 + a1 * k + a2 * k * k
    over = (b0 + b1 * k + b2 * k * k, 2 * (b0 - b2 * k * k), b0 - b1 * k + b2 * k * k)
    ours = [*over, 2 * (a0 - a2 * k * k), a0 - a1 * k + a2 * k * k]
    np.testing.assert_allclose(np.array(ours) / under, coefficients, atol=1e-5)
    found = db(at(part, 100, 500, 1000, 2000, 4000, 10_000, fs=FS))
    for value, wanted in zip(found, levels, strict=True):
        assert value < -100 if wanted is None else value == pytest.approx(wanted, abs=2e-3)


def test_shelves_further_out():
    """checks.md 5, as above: 31.5 Hz of the low one, 16 kHz of the high one."""
    assert db(at(COOKBOOK[4][0], 31.5, fs=FS))[0] == pytest.approx(5.937, abs=2e-3)
    assert db(at(COOKBOOK[5][0], 16_000, fs=FS))[0] == pytest.approx(-5.921, abs=2e-3)


def test_half_gain_edges_of_a_peak():
    """checks.md 5: 618.58 and 1614.31 Hz; a notch of Q 10 is 99.713 Hz wide at -3.01 dB."""
    np.testing.assert_allclose(db(at(COOKBOOK[0][0], 618.58, 1614.31, fs=FS)), 3, atol=1e-3)
    hz = np.arange(900.0, 1100.0, 0.01)
    inside = hz[db(filters_response([COOKBOOK[3][0]], hz, FS)) < -3.0103]
    assert np.ptp(inside) == pytest.approx(99.713, abs=0.03)


@pytest.mark.parametrize(
    ("part", "theirs", "tolerance"),
    [  # pyfar's defaults are other shapes (bell II, shelf I): type III is the cookbook's, checks.md
        (
            Filter("peak", 1000.0, gain_db=6.0, q=1.0),
            lambda x: pyfar.dsp.filter.bell(x, 1000, 6, 1, bell_type="III"),
            0.02,  # it warps Q: 1.885 against 1.879 dB at 500 Hz
        ),
        (
            Filter("low shelf", 100.0, gain_db=6.0),
            lambda x: pyfar.dsp.filter.low_shelf(x, 100, 6, 2, shelf_type="III"),
            0.003,
        ),
        (
            Filter("high shelf", 4000.0, gain_db=-6.0),
            lambda x: pyfar.dsp.filter.high_shelf(x, 4000, -6, 2, shelf_type="III"),
            0.003,
        ),
    ],
)
def test_equalisers_are_pyfars(part, theirs, tolerance):
    """RUN pyfar 0.8.1."""
    impulse = pyfar.signals.impulse(2**16, sampling_rate=int(FS))
    out = theirs(impulse)
    use = (out.frequencies > 20) & (out.frequencies < 20_000)
    ours = filters_response([part], out.frequencies[use], FS)
    np.testing.assert_allclose(db(ours), db(out.freq[0, use]), atol=tolerance)


def test_crossover_is_pyfars():
    """RUN pyfar 0.8.1, whose N is the total order (its trap in checks.md 5)."""
    impulse = pyfar.signals.impulse(2**16, sampling_rate=int(FS))
    out = pyfar.dsp.filter.crossover(impulse, 4, 1000)
    use = (out.frequencies > 100) & (out.frequencies < 8_000)
    for part, band in zip(passes("Linkwitz-Riley", 4), out.freq[:, 0][:, use], strict=True):
        ours = filters_response([part], out.frequencies[use], FS)
        np.testing.assert_allclose(ours, band, atol=1e-5)


def test_all_pass_turns_and_nothing_else():
    """MATH: (1 - s)/(1 + s) turns by -90 degrees at its frequency, the second order by -180."""
    first, second = (Filter("all-pass", 400.0, order=order, q=2.0) for order in (1, 2))
    assert np.degrees(np.angle(at(first, 400.0)))[0] == pytest.approx(-90)
    assert abs(np.degrees(np.angle(at(second, 400.0)))[0]) == pytest.approx(180)
    below = np.degrees(np.angle(at(second, 380.0, 420.0)))
    assert below[0] < 0 < below[1]


@pytest.mark.parametrize("fs", [None, FS])
@pytest.mark.parametrize(
    "part",
    [
        Filter("high-pass", 90.0, "Bessel", 5),
        Filter("low-pass", 900.0, "Butterworth", 3),
        Filter("all-pass", 400.0, order=1),
        Filter("all-pass", 400.0, order=2, q=3.0),
        Filter("peak", 3000.0, gain_db=-7.0, q=4.0),
        Filter("low shelf", 120.0, gain_db=5.0),
    ],
)
def test_group_delay_is_the_slope_of_the_phase(part, fs):
    step = HZ * 1e-5
    ratio = filters_response([part], HZ + step, fs) / filters_response([part], HZ - step, fs)
    by_slope = -1000 * np.angle(ratio) / (2 * np.pi * 2 * step)
    np.testing.assert_allclose(group_delay_ms([part], HZ, fs), by_slope, atol=1e-6, rtol=1e-5)


def test_group_delay_where_a_notch_is_silent():
    assert np.isfinite(group_delay_ms([Filter("notch", 1000.0, q=5.0)], np.array([1000.0]))).all()


def test_outputs_stand_for_themselves():
    """Polarity is in `output_response`, gain and delay are not."""
    part = Filter("peak", 500.0, gain_db=4.0, q=2.0)
    output = ProcessorOutput("FOH", 1, gain_db=6.0, delay_ms=5.0, inverted=True, filters=(part,))
    abilities = ProcessorAbilities(sampling_hz=Figure(96_000.0))
    found = output_response(output, abilities, HZ)
    np.testing.assert_allclose(found, -filters_response([part], HZ, 96_000.0))
    assert gain_factor(output) == pytest.approx(1.995262)
    assert gain_factor(ProcessorOutput("FOH", 1)) is None
    assert np.degrees(np.angle(delay_turn(2.5, np.array([100.0]))))[0] == pytest.approx(-90)


def test_says_whether_it_is_digital():
    assert "analogue" in basis_of(None)
    assert "digital filters at 96 kHz" in basis_of(96_000.0)


def test_many_outputs_of_uneven_length_at_once():
    sets = [[], [Filter("peak", 500.0, gain_db=4.0, q=2.0)], list(passes("Linkwitz-Riley", 8))]
    found = many_responses(sets, HZ, FS)
    np.testing.assert_allclose(found[0], 1)
    for row, filters in zip(found, sets, strict=True):
        np.testing.assert_allclose(row, filters_response(filters, HZ, FS), atol=1e-14)


def test_from_nothing_to_half_the_sampling_rate():
    """All is finite at 0 Hz, at half the sampling rate and beyond, however many there are."""
    hz = np.array([0.0, 1.0, 24_000.0, 30_000.0])
    many = [Filter("low-pass", 5.0, "Butterworth", 8), Filter("high-pass", 9000.0, "Bessel", 8)]
    many += [Filter("peak", 1.0, gain_db=-10.0, q=5.0)] * 40
    for fs in (None, FS):
        assert np.isfinite(filters_response(many, hz, fs)).all()
    assert at(many[0], 24_000.0, fs=FS)[0] == pytest.approx(0)


@pytest.mark.parametrize("hz", [24_000.0, 30_000.0, 0.0, -5.0])
def test_what_lies_beyond_half_the_sampling_rate_is_refused(hz):
    with pytest.raises(ValueError, match="half the sampling rate"):
        at(Filter("peak", hz, q=1.0), 100.0, fs=FS)


orders = st.integers(1, 8)
corners = st.floats(20, 15_000)
rates = st.sampled_from([None, 44_100.0, 48_000.0, 96_000.0])


@given(st.sampled_from([2, 4, 6, 8]), corners, rates)
def test_linkwitz_riley_sums_flat_with_the_right_polarity(order, corner, fs):
    low, high = (
        filters_response([part], HZ, fs) for part in passes("Linkwitz-Riley", order, corner)
    )
    sign = 1 if order % 4 == 0 else -1
    np.testing.assert_allclose(np.abs(low + sign * high), 1, atol=1e-9)


@given(orders, corners, rates)
def test_butterworth_powers_add_to_one(order, corner, fs):
    low, high = (filters_response([part], HZ, fs) for part in passes("Butterworth", order, corner))
    np.testing.assert_allclose(np.abs(low) ** 2 + np.abs(high) ** 2, 1, atol=1e-9)


@given(st.sampled_from([1, 2]), corners, st.floats(0.1, 20), rates)
def test_all_pass_leaves_the_level_alone(order, hz, q, fs):
    part = Filter("all-pass", hz, order=order, q=q)
    np.testing.assert_allclose(np.abs(filters_response([part], HZ, fs)), 1, atol=1e-9)


@given(
    st.sampled_from(["peak", "low shelf", "high shelf"]),
    corners,
    st.floats(0.1, 15),
    st.floats(0.2, 20),
    rates,
)
def test_a_cut_undoes_a_boost(kind, hz, gain, q, fs):
    both = [Filter(kind, hz, gain_db=sign * gain, q=q) for sign in (1, -1)]
    np.testing.assert_allclose(filters_response(both, HZ, fs), 1, atol=1e-9)


@given(orders, corners, st.sampled_from(["-3 dB", "phase"]), rates)
def test_bessel_corner_means_what_it_says(order, hz, corner, fs):
    """-3 dB lies at the corner; the other way, the slopes' asymptotes meet there at 0 dB."""
    part = Filter("low-pass", hz, "Bessel", order)
    if corner == "-3 dB":
        assert db(at(part, hz, fs=fs, corner=corner))[0] == pytest.approx(-3.0103, abs=1e-4)
    else:
        far = np.array([200 * hz])
        slope = db(filters_response([part], far, None, corner))[0]
        wanted = max(-20 * order * np.log10(200), -240)
        assert slope == pytest.approx(wanted, abs=0.01)
