"""Poles of the low passes against scipy (RUN, independent of ours)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import signal

from calc.signals.prototypes import low_pass_poles, low_pass_sections


@pytest.mark.parametrize("order", range(1, 9))
@pytest.mark.parametrize(
    ("family", "corner", "scipys"),
    [
        ("Butterworth", "unknown", lambda n: signal.butter(n, 1, analog=True, output="zpk")),
        ("Bessel", "-3 dB", lambda n: signal.bessel(n, 1, analog=True, output="zpk", norm="mag")),
        ("Bessel", "unknown", lambda n: signal.bessel(n, 1, analog=True, output="zpk", norm="mag")),
        ("Bessel", "phase", lambda n: signal.bessel(n, 1, analog=True, output="zpk")),
    ],
)
def test_poles_are_those_of_scipy(family, corner, scipys, order):
    ours = np.sort_complex(np.array(low_pass_poles(family, order, corner)))
    theirs = np.sort_complex(scipys(order)[1])
    np.testing.assert_allclose(ours, theirs, atol=1e-8)


@pytest.mark.parametrize("order", [2, 4, 6, 8])
def test_linkwitz_riley_is_a_butterworth_twice(order):
    """MATH: its definition."""
    half = np.sort_complex(signal.butter(order // 2, 1, analog=True, output="zpk")[1])
    ours = np.sort_complex(np.array(low_pass_poles("Linkwitz-Riley", order)))
    np.testing.assert_allclose(ours, np.repeat(half, 2), atol=1e-9)


@pytest.mark.parametrize(
    ("family", "order", "words"),
    [
        ("Linkwitz-Riley", 3, "even order"),
        ("Butterworth", 9, "order of 1 to 8"),
        ("Bessel", 0, "order of 1 to 8"),
        ("", 2, "needs its family"),
    ],
)
def test_what_does_not_exist_is_refused(family, order, words):
    with pytest.raises(ValueError, match=words):
        low_pass_poles(family, order)


@given(
    st.sampled_from(["Butterworth", "Linkwitz-Riley", "Bessel"]),
    st.integers(1, 8),
    st.sampled_from(["-3 dB", "phase", "unknown"]),
)
def test_every_pole_dies_away_and_the_sections_hold_them_all(family, order, corner):
    if family == "Linkwitz-Riley":
        order += order % 2
    assert all(pole.real < 0 for pole in low_pass_poles(family, order, corner))
    sections = low_pass_sections(family, order, corner)
    assert sum(2 if squared else 1 for squared, _ in sections) == order
