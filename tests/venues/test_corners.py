"""Corners as people type them."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from venues.corners import read_corners, write_corners


@pytest.mark.parametrize(
    ("line", "corner"),
    [
        ("4.5, 12", [4.5, 12]),
        ("4.5,12", [4.5, 12]),
        ("-4.5 12", [-4.5, 12]),
        ("4,5; 12,25", [4.5, 12.25]),
        ("4,5 12", [4.5, 12]),
        ("4 ,5", [4, 5]),
        ("  4 ;  5  ", [4, 5]),
        ("4\t5", [4, 5]),
        (".5, +3", [0.5, 3]),
    ],
)
def test_ways_to_write_a_corner(line, corner):
    assert read_corners(line) == [corner]


@pytest.mark.parametrize(
    "line", ["4", "4, 5, 6", "a, b", "4,,5", "nan, 1", "1e3, 2", "4;", "1,2,3"]
)
def test_what_is_no_corner_is_named_with_its_line(line):
    with pytest.raises(ValidationError) as fault:
        read_corners(f"0, 0\n\n{line}\n1, 1")
    (sentence,) = fault.value.messages
    assert sentence.startswith(f"Line 3, “{line}”")


@given(st.lists(st.tuples(*[st.integers(-99999, 99999).map(lambda n: n / 100)] * 2), min_size=1))
def test_what_is_written_reads_back(corners):
    assert read_corners(write_corners(corners)) == [list(corner) for corner in corners]
