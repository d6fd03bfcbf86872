"""Selectable gains as people type them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigs.catalogue.gains import gains_fault, read_gains, write_gains


@pytest.mark.parametrize("text", ["38, 26,32", "26;32;38", " 38 32\n26.0 "])
def test_gains_are_read_and_sorted(text):
    assert read_gains(text) == [26, 32, 38]


def test_nothing_is_one_gain_only():
    assert read_gains("") == []
    assert gains_fault([]) == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("26, high", "“high” is no gain in dB"),
        ("nan", "“nan” is no gain"),
        ("26, 26", "twice"),
        ("-3", "not between 0 and 60 dB"),
        ("26, 61", "not between 0 and 60 dB"),
        (" ".join(map(str, range(13))), "More than 12"),
    ],
)
def test_what_is_no_gain_is_a_sentence(text, words):
    with pytest.raises(ValueError, match=words):
        read_gains(text)


@given(st.text())
def test_any_text_gives_gains_or_a_sentence(text):
    try:
        gains = read_gains(text)
    except ValueError as fault:
        assert str(fault).endswith(".")
    else:
        assert read_gains(write_gains(gains)) == pytest.approx(gains)


@given(
    st.none()
    | st.text()
    | st.lists(st.none() | st.booleans() | st.floats() | st.integers() | st.text())
)
def test_whatever_is_stored_is_judged(stored):
    assert isinstance(gains_fault(stored), str)


@pytest.mark.parametrize("stored", [None, "26", {}, ["26"], [True], [float("nan")], [10**5000]])
def test_what_can_be_no_list_of_gains_is_said(stored):
    assert gains_fault(stored)
