"""The network against a nodal solution that shares nothing with it, and against the odd input."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import lil_matrix
from scipy.sparse.linalg import spsolve

from calc.electrical.network import NetworkBox, Solution, solve

ohms = st.floats(0.005, 5.0)
impedances = st.builds(
    lambda size, phase: complex(size * math.cos(phase), size * math.sin(phase)),
    st.floats(2.0, 60.0),
    st.floats(-1.3, 1.3),
)


@st.composite
def lines(draw, most: int = 10) -> list[NetworkBox]:
    """Trees of boxes, some in series with the box that they hang on."""
    found: list[NetworkBox] = []
    tails: set[str] = set()
    for index in range(draw(st.integers(1, most))):
        after = draw(st.sampled_from([None, *(box.name for box in found)]))
        series = after is not None and after in tails and draw(st.booleans())
        name = f"box {index}"
        found.append(NetworkBox(name, after, draw(ohms), draw(impedances), series))
        if series:
            tails.discard(after)
        tails.add(name)
    return found


def nodal(boxes: list[NetworkBox], output_ohm: float) -> dict[str, complex]:
    """Volts across each box by nodal analysis: admittances between nodes, 1 V behind `output_ohm`.

    Every box has an upper and a lower node; the lower one is ground unless a box in series
    follows, whose cable then starts there.
    """
    followed = {box.after for box in boxes if box.in_series}
    first = {box.name: box.name for box in boxes}
    for box in boxes:
        if box.in_series:
            first[box.name] = first[box.after]
    upper = {box.name: 2 * i + 1 for i, box in enumerate(boxes)}
    lower = {box.name: 2 * i + 2 for i, box in enumerate(boxes) if box.name in followed}
    used = [0, *upper.values(), *lower.values()]
    number = {node: i for i, node in enumerate(used)}
    matrix = lil_matrix((len(used), len(used)), dtype=complex)

    def element(a: int | None, b: int | None, admittance: complex) -> None:
        for node, other in ((a, b), (b, a)):
            if node is not None:
                matrix[number[node], number[node]] += admittance
                if other is not None:
                    matrix[number[node], number[other]] -= admittance

    element(0, None, 1 / output_ohm)
    for box in boxes:
        if box.after is None:
            start = 0
        elif box.in_series:
            start = lower[box.after]
        else:
            start = upper[first[box.after]]
        element(start, upper[box.name], 1 / box.loop_ohm)
        element(upper[box.name], lower.get(box.name), 1 / complex(box.impedance_ohm))
    current = np.zeros(len(used), dtype=complex)
    current[0] = 1 / output_ohm
    volts = spsolve(matrix.tocsc(), current)
    return {
        box.name: volts[number[upper[box.name]]]
        - (volts[number[lower[box.name]]] if box.name in lower else 0)
        for box in boxes
    } | {"terminals": volts[0]}


@settings(deadline=None)
@given(lines(), st.floats(0.01, 1.0))
def test_agrees_with_nodal_analysis(boxes: list[NetworkBox], output_ohm: float) -> None:
    solution = solve(boxes, 1.0, output_ohm)
    wanted = nodal(boxes, output_ohm)
    assert solution.terminals_v[0] == pytest.approx(wanted["terminals"], rel=1e-7)
    for row, box in enumerate(boxes):
        assert solution.box_v[row, 0] == pytest.approx(wanted[box.name], rel=1e-7, abs=1e-9)


def imbalance(solution: Solution) -> float:
    """Power from the source less all that is used, as a share of the source's."""
    given_w = np.real(solution.source_v * np.conj(solution.source_a))
    used = solution.box_w.sum(axis=0) + solution.cable_w.sum(axis=0)
    used = used + np.abs(solution.source_a) ** 2 * solution.output_ohm
    return float(np.max(np.abs(given_w - used) / given_w))


@settings(deadline=None)
@given(lines(), st.floats(0.0, 1.0), st.floats(0.1, 200.0))
def test_power_balance_closes(boxes: list[NetworkBox], output_ohm: float, volts: float) -> None:
    assert imbalance(solve(boxes, volts, output_ohm)) < 1e-9


@settings(deadline=None)
@given(lines(), st.integers(0, 9), st.floats(0.001, 20.0), st.floats(0.0, 1.0))
def test_more_cable_never_raises_the_level_behind_it(
    boxes: list[NetworkBox], which: int, more: float, output_ohm: float
) -> None:
    index = which % len(boxes)
    longer = [*boxes]
    old = boxes[index]
    longer[index] = NetworkBox(
        old.name, old.after, old.loop_ohm + more, old.impedance_ohm, old.in_series
    )
    before, after = (abs(solve(line, 1.0, output_ohm).box_v[index, 0]) for line in (boxes, longer))
    assert after <= before * (1 + 1e-12)


@settings(deadline=None)
@given(lines())
def test_a_cable_never_adds_level(boxes: list[NetworkBox]) -> None:
    assert (solve(boxes).loss_db > -1e-9).all()


def test_many_frequencies_are_each_frequency_by_itself() -> None:
    curve = np.array([8 + 3j, 6 - 2j, 20 + 0j])
    boxes = [NetworkBox("a", None, 0.4, curve), NetworkBox("b", "a", 0.3, 8.0)]
    together = solve(boxes, 10, 0.016)
    for column, ohm in enumerate(curve):
        alone = solve([NetworkBox("a", None, 0.4, ohm), boxes[1]], 10, 0.016)
        assert together.box_v[:, column] == pytest.approx(alone.box_v[:, 0], rel=1e-12)


def test_the_order_of_the_boxes_does_not_matter() -> None:
    boxes = [
        NetworkBox("a", None, 0.4, 8),
        NetworkBox("b", "a", 0.3, 4, in_series=True),
        NetworkBox("c", "b", 0.2, 6),
    ]
    forward, backward = solve(boxes), solve(boxes[::-1])
    assert forward.box_v == pytest.approx(backward.box_v[::-1])
    # c starts where the series of a and b starts, not between them.
    assert forward.box_v[2, 0].real > forward.box_v[0, 0].real


@pytest.mark.parametrize(
    ("boxes", "words"),
    [
        ([], "No box hangs"),
        ([NetworkBox("a", None, 0.1, 0)], "impedance of a must be a number above 0"),
        ([NetworkBox("a", None, 0.1, -8)], "impedance of a must be"),
        ([NetworkBox("a", None, 0.1, math.nan)], "impedance of a must be"),
        ([NetworkBox("a", None, -0.1, 8)], "cable to a must have a resistance"),
        ([NetworkBox("a", None, math.nan, 8)], "cable to a must have a resistance"),
        ([NetworkBox("a", None, math.inf, 8)], "cable to a must have a resistance"),
        ([NetworkBox("a", None, 0, 8), NetworkBox("a", None, 0, 8)], "the same name"),
        ([NetworkBox("a", "gone", 0, 8)], "which is not on this line"),
        ([NetworkBox("a", "b", 0, 8), NetworkBox("b", "a", 0, 8)], "runs in a loop"),
        ([NetworkBox("x", None, 0, 8), NetworkBox("a", "a", 0, 8)], "cable to a runs in a loop"),
        ([NetworkBox("a", None, 0, 8, in_series=True)], "in series with no box"),
        ([NetworkBox("a", None, 0, 8j), NetworkBox("b", "a", 0, -8j, True)], "add up to 0 ohm"),
        ([NetworkBox("a", None, 0, [8, 8]), NetworkBox("b", "a", 0, [8] * 3)], "same frequencies"),
        ([NetworkBox("a", None, 0, [])], "same frequencies"),
    ],
)
def test_what_cannot_be_is_told_in_words(boxes: list[NetworkBox], words: str) -> None:
    with pytest.raises(ValueError) as fault:
        solve(boxes)
    assert words in str(fault.value)


def test_source_that_cannot_be() -> None:
    for volts, ohm in ((math.nan, 0.0), (1.0, -1.0), (1.0, math.inf)):
        with pytest.raises(ValueError, match="must be numbers"):
            solve([NetworkBox("a", None, 0.1, 8)], volts, ohm)


def test_five_thousand_boxes_in_a_row() -> None:
    """A resistive ladder ends in its characteristic impedance (MATH): r/2 + sqrt(r2/4 + r Z)."""
    boxes = [NetworkBox(str(i), str(i - 1) if i else None, 0.1, 8) for i in range(5000)]
    solution = solve(boxes)
    wanted = 0.05 + math.sqrt(0.05**2 + 0.1 * 8)
    assert 1 / solution.source_a[0].real == pytest.approx(wanted, rel=1e-9)
    assert np.isfinite(solution.box_v).all()
    with pytest.raises(ValueError, match="too many"):
        solve([NetworkBox(str(i), None, 0.1, np.full(500, 8)) for i in range(5000)])
