"""What can be wrong with an outline."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from venues.polygons import polygon_fault, signed_area_m2

SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10]]


def on_circle(count, step=1, turn=0.0, radius=20.0):
    """Corners on a circle, joined `step` apart: a star when step > 1 has no part in count."""
    angles = [turn + 2 * math.pi * step * k / count for k in range(count)]
    return [[radius * math.cos(a), radius * math.sin(a)] for a in angles]


@given(
    count=st.integers(3, 60),
    turn=st.floats(0, 6.3),
    radius=st.floats(2, 500),
    backwards=st.booleans(),
)
def test_a_convex_outline_is_fine_either_way_round(count, turn, radius, backwards):
    corners = on_circle(count, 1, turn, radius)
    assert polygon_fault(corners[::-1] if backwards else corners) == ""


@given(half=st.integers(2, 20), turn=st.floats(0, 6.3), data=st.data())
def test_a_regular_star_crosses_itself(half, turn, data):
    count = 2 * half + 1
    step = data.draw(st.integers(2, half).filter(lambda step: math.gcd(step, count) == 1))
    assert "crosses itself" in polygon_fault(on_circle(count, step, turn))


@given(
    turn=st.floats(0, 6.3),
    depth=st.floats(0.1, 0.9),
    points=st.integers(3, 20),
)
def test_a_hollow_star_outline_does_not_cross(turn, depth, points):
    outer, inner = on_circle(points, 1, turn), on_circle(points, 1, turn + math.pi / points)
    corners = []
    for far, near in zip(outer, inner, strict=True):
        corners += [far, [near[0] * depth, near[1] * depth]]
    assert polygon_fault(corners) == ""


def test_a_figure_of_eight_names_the_sides_that_meet():
    fault = polygon_fault([[0, 0], [10, 10], [10, 0], [0, 10]])
    assert "the side from corner 1 meets the side from corner 3" in fault


def test_a_spike_that_runs_back_on_itself_is_refused():
    assert "crosses itself" in polygon_fault([[0, 0], [10, 0], [10, 10], [10, 5], [0, 5]])
    assert "crosses itself" in polygon_fault([[0, 0], [10, 0], [20, 0], [5, 0], [5, 8]])


def test_a_corner_that_touches_another_side_is_refused():
    assert "crosses itself" in polygon_fault([[0, 0], [10, 0], [10, 10], [5, 0], [0, 10]])


def test_a_straight_corner_is_no_fault():
    assert polygon_fault([[0, 0], [5, 0], [10, 0], [10, 10], [0, 10]]) == ""


@pytest.mark.parametrize(
    ("corners", "sentence"),
    [
        ([], "at least three corners"),
        (None, "at least three corners"),
        ("square", "at least three corners"),
        (SQUARE[:2], "at least three corners"),
        ([*SQUARE, [10, 0]], "Corners 2 and 5 are the same point"),
        ([*SQUARE, SQUARE[0]], "Corners 1 and 5 are the same point"),
        ([[0, 0], [1, 0], [1]], "Corner 3: give x and y."),
        ([[0, 0], [1, 0], ["a", 1]], "Corner 3: 'a' is not a number."),
        ([[0, 0], [1, 0], [True, 1]], "Corner 3: True is not a number."),
        ([[0, 0], [1, 0], [float("nan"), 1]], "Corner 3: nan m is not believable."),
        ([[0, 0], [float("inf"), 0], [1, 1]], "Corner 2: inf m is not believable."),
        ([[0, 0], [5000, 0], [1, 1]], "Corner 2: 5000 m is not believable."),
        ([[0, 0], [0.1, 0], [0, 0.1]], "smaller than a quarter"),
        ([[k, k * k / 1000] for k in range(201)], "at most 200 corners"),
    ],
)
def test_traps_are_sentences(corners, sentence):
    assert sentence in polygon_fault(corners)


def test_the_sign_of_an_area_tells_the_way_round():
    assert signed_area_m2([(0, 0), (10, 0), (10, 10), (0, 10)]) == 100
    assert signed_area_m2([(0, 10), (10, 10), (10, 0), (0, 0)]) == -100
