"""Volts along a line against published cases and against a nodal solution."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.electrical.ladder import Rung, damping_factors, input_ohm, shares_of_terminals

ohms = st.floats(0.01, 5.0)
loads = st.floats(2.0, 32.0)
rungs = st.lists(st.builds(Rung, ohms, loads, st.booleans()), min_size=1, max_size=8)


def loss_db(share: float | None) -> float:
    assert share is not None
    return -20 * math.log10(share)


@pytest.mark.parametrize(
    ("loop", "load", "amplifier_damping", "loss", "share_lost", "damping"),
    [
        # 2.5 mm2 class 5, 30 m; the same into 4 ohm; 12 AWG, 30.48 m (MATH on the tables).
        (0.4788, 8, 500, 0.5049, 0.05647, 16.168),
        (0.4788, 4, 500, 0.9820, 0.10690, 8.084),
        (0.31766, 8, 200, 0.3382, 0.03819, 22.367),
    ],
)
def test_one_box(loop, load, amplifier_damping, loss, share_lost, damping) -> None:
    line = [Rung(loop, load, True)]
    (share,) = shares_of_terminals(line)
    assert share is not None
    assert loss_db(share) == pytest.approx(loss, rel=1e-3)
    assert 1 - share == pytest.approx(share_lost, rel=1e-3)
    assert damping_factors(line, 8 / amplifier_damping) == [pytest.approx(damping, rel=1e-3)]


def test_published_damping_example() -> None:
    """8 ohm, amplifier 0.01 ohm, 0.19 ohm in the way: 800 becomes 40 (READ, public note)."""
    assert damping_factors([Rung(0.19, 8, True)], 0.01) == [pytest.approx(40)]
    assert damping_factors([Rung(0.0, 8, True)], 0.01) == [pytest.approx(800)]


def nodal(line: list[Rung], source_ohm: float) -> tuple[np.ndarray, float]:
    """Box volts and terminal volts for 1 V of source, by the conductance matrix."""
    count = len(line) + 1  # node 0 is the amplifier's terminals
    matrix, current = np.zeros((count, count)), np.zeros(count)
    matrix[0, 0] += 1 / source_ohm
    current[0] = 1 / source_ohm
    for node, rung in enumerate(line, start=1):
        before = 0 if rung.from_amplifier or node == 1 else node - 1
        g = 1 / rung.loop_ohm
        matrix[node, node] += g + 1 / rung.load_ohm
        matrix[before, before] += g
        matrix[node, before] -= g
        matrix[before, node] -= g
    volts = np.linalg.solve(matrix, current)
    return volts[1:], float(volts[0])


@given(rungs, st.floats(0.001, 1.0))
def test_agrees_with_the_nodal_solution(line: list[Rung], source_ohm: float) -> None:
    boxes, terminals = nodal(line, source_ohm)
    assert shares_of_terminals(line) == pytest.approx(list(boxes / terminals), rel=1e-9)
    effective = [(1 - v) / (v / r.load_ohm) for v, r in zip(boxes, line, strict=True)]
    wanted = [r.load_ohm / z for r, z in zip(line, effective, strict=True)]
    assert damping_factors(line, source_ohm) == pytest.approx(wanted, rel=1e-6)
    into = terminals / ((1 - terminals) / source_ohm)
    assert input_ohm(line) == pytest.approx(into, rel=1e-6)


@given(rungs, st.integers(0, 7), st.floats(0.01, 5.0))
def test_more_cable_never_raises_a_level(line: list[Rung], which: int, more: float) -> None:
    """Against the amplifier's terminals, more resistance anywhere lowers its own run only."""
    index = which % len(line)
    old = line[index]
    longer = [*line]
    longer[index] = Rung(old.loop_ohm + more, old.load_ohm, old.from_amplifier)
    before, after = shares_of_terminals(line), shares_of_terminals(longer)
    assert after[index] < before[index]
    for b, a, rung_index in zip(before, after, range(len(line)), strict=True):
        if rung_index >= index:
            assert a <= b * (1 + 1e-12)


def test_shared_cable_counts_for_everything_that_flows_through_it() -> None:
    """Three 8 ohm boxes side by side at the end of one run are one 2.667 ohm box."""
    together = [Rung(1.596, 8, True), Rung(0.0, 8, False), Rung(0.0, 8, False)]
    alone = shares_of_terminals([Rung(1.596, 8 / 3, True)])
    assert shares_of_terminals(together) == pytest.approx(alone * 3)
    assert damping_factors(together, 0.016) == pytest.approx(
        damping_factors([Rung(1.596, 8 / 3, True)], 0.016) * 3
    )


def test_an_unknown_run_leaves_the_others_known() -> None:
    line = [Rung(0.2, 8, True), Rung(None, 8, True), Rung(0.2, 8, False)]
    first, second, third = shares_of_terminals(line)
    assert first == pytest.approx(8 / 8.2)
    assert second is None and third is None
    assert damping_factors(line, 0.016) == [None, None, None]
    assert damping_factors([Rung(0.2, 8, True)], None) == [None]
