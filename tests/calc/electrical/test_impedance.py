"""Impedance curves: which load counts, and how boxes with phase add up."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check_lines, validate
from calc.electrical.impedance import impedance_at, lowest_of, lowest_of_line
from calc.figure import UNKNOWN
from calc.system import ImpedanceCurve
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    drive_line,
    known,
    link,
    loudspeaker,
    system,
    way,
)

BAND = (20.0, 20000.0)


def flat(ohm: float, phase: float | None = 0.0) -> ImpedanceCurve:
    """The same impedance at all frequencies."""
    return ImpedanceCurve(BAND, (ohm, ohm), () if phase is None else (phase, phase))


def dip(ohm: float, at_hz: float) -> ImpedanceCurve:
    """20 ohm with one dip, phase unknown."""
    return ImpedanceCurve((20.0, at_hz, 20000.0), (20.0, ohm, 20.0))


def test_the_dip_counts_only_inside_the_ways_band() -> None:
    box = way(impedance_curve=dip(3.0, 200.0))
    inside = lowest_of(box)
    assert inside.ohm == pytest.approx(3.0) and inside.at_hz == pytest.approx(200)
    assert inside.basis == "impedance curve (measured)"
    above = dataclasses.replace(box, low_hz=known(1000))
    lowest = lowest_of(above)
    assert lowest.at_hz == pytest.approx(1000)
    # On the straight line from (200 Hz, 3 ohm) to (20 kHz, 20 ohm), both axes logarithmic (MATH).
    assert lowest.ohm == pytest.approx(3 * (20 / 3) ** (np.log10(5) / 2), rel=1e-9)


def test_opposite_phases_do_not_add_up_to_half() -> None:
    """8 ohm at +60 and at -60 deg: the admittances' sum is 1/8 S, so 8 ohm, not 4 (MATH)."""
    inductive = way(impedance_curve=flat(8, 60))
    capacitive = way(impedance_curve=flat(8, -60))
    assert lowest_of_line([inductive, capacitive], [False, False]).ohm == pytest.approx(8)
    assert lowest_of_line([inductive, inductive], [False, False]).ohm == pytest.approx(4)
    assert lowest_of_line([inductive, capacitive], [False, True]).ohm == pytest.approx(8)
    assert lowest_of_line([inductive, inductive], [False, True]).ohm == pytest.approx(16)


def test_without_phase_the_lowest_possible_load_counts() -> None:
    bare = way(impedance_curve=flat(8, None))
    found = lowest_of_line([bare, way(impedance_curve=flat(8, 60))], [False, False])
    assert found.ohm == pytest.approx(4)
    assert any("phase of its impedance is unknown" in text for text in found.assumed)


def test_where_the_curve_does_not_reach_the_stated_minimum_counts() -> None:
    half = ImpedanceCurve((1000.0, 20000.0), (9.0, 9.0), (0.0, 0.0))
    found = lowest_of(way(minimum=5.5, impedance_curve=half))
    assert found.ohm == pytest.approx(5.5)
    assert any("covers 1000 to 20000 Hz only" in text for text in found.assumed)
    unknown = way(impedance=None, minimum=None, impedance_curve=half)
    assert lowest_of(unknown).ohm is None
    assert lowest_of_line([unknown, way()], [False, True]).ohm is None


def test_an_unknown_band_takes_the_whole_curve() -> None:
    found = lowest_of(way(impedance_curve=dip(3.0, 30.0), low_hz=UNKNOWN))
    assert found.ohm == pytest.approx(3.0)
    assert any("band is unknown" in text for text in found.assumed)


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.floats(2, 60), st.floats(-60, 60), st.booleans()), min_size=1, max_size=6)
)
def test_line_against_a_sum_worked_out_by_hand(boxes) -> None:
    """Flat curves: groups in series added, then groups in parallel, one after the other."""
    ways = [way(impedance_curve=flat(ohm, phase)) for ohm, phase, _ in boxes]
    joined = [False] + [series for *_, series in boxes[1:]]
    admittance, group = 0j, 0j
    for (ohm, phase, _), series in zip(boxes, joined, strict=True):
        if not series and group:
            admittance += 1 / group
            group = 0j
        group += ohm * complex(np.cos(phase * np.pi / 180), np.sin(phase * np.pi / 180))
    admittance += 1 / group
    assert lowest_of_line(ways, joined).ohm == pytest.approx(1 / abs(admittance), rel=1e-9)


def test_between_points_the_curve_goes_straight_over_log_frequency() -> None:
    curve = ImpedanceCurve((100.0, 400.0), (4.0, 16.0), (0.0, 40.0))
    found = complex(impedance_at(curve, np.array([200.0]))[0])
    assert abs(found) == pytest.approx(8) and np.degrees(np.angle(found)) == pytest.approx(20)


def test_the_finding_says_which_minimum_it_used() -> None:
    """8 ohm rated, dipping to 4: an 8 ohm minimum bears the rating, not the dip."""
    dipping = loudspeaker(ways=(way(impedance_curve=dip(4.0, 200.0)),))
    described = system(loudspeakers=(dipping,), amplifiers=(amplifier(minimum=8),))
    (line,) = check_lines(described)
    load = next(f for f in line.findings if f.check == "load")
    assert load.state == "tight"
    assert line.minimum_load_ohm == pytest.approx(4) and line.minimum_load_hz == pytest.approx(200)
    assert line.minimum_load_basis == "impedance curve (measured)"
    assert any("4 ohm at 200 Hz" in step for step in load.working)
    (plain,) = check_lines(system(loudspeakers=(loudspeaker(ways=(way(minimum=None),)),)))
    assert plain.minimum_load_basis == "0.8 of the rated impedance (IEC 60268-5)"


def in_series(count: int = 2, **changes):
    names = [f"Top {i + 1}" for i in range(count)]
    links = tuple(
        dataclasses.replace(link(name, from_amplifier=i == 0), series_with_previous=i > 0)
        for i, name in enumerate(names)
    )
    return boxes_on_one_line(count, **({"drive_lines": (drive_line(links=links),)} | changes))


def test_boxes_in_series_share_the_volts_and_double_the_load() -> None:
    """Two 8 ohm boxes in series are 16 ohm; half the volts each is no cable loss."""
    described = in_series(amplifiers=(amplifier(ratings={16: 800, 8: 1500}),))
    (line,) = check_lines(described)
    assert line.rated_load_ohm == pytest.approx(16)
    assert line.minimum_load_ohm == pytest.approx(12.8)
    # 56.57 V at one box (400 W, 8 ohm) are 113.1 V at the amplifier.
    assert line.rated_voltage_v == pytest.approx(2 * (400 * 8) ** 0.5)
    loop = 2 * 0.00798 * 10  # class 5, 2.5 mm2, 10 m, 20 degC (IEC 60228)
    assert line.worst_cable_loss_db == pytest.approx(20 * np.log10((16 + 2 * loop) / 16), rel=1e-9)
    first, second = line.boxes
    assert first.voltage_v == pytest.approx(second.voltage_v)
    # One box of 16 ohm behind both cables and 8 / 500 ohm.
    assert first.damping_factor == pytest.approx(16 / (2 * loop + 8 / 500))


def test_a_box_after_a_series_stands_in_parallel_with_all_of_it() -> None:
    described = in_series(3)
    last = dataclasses.replace(described.drive_lines[0].links[2], series_with_previous=False)
    line = dataclasses.replace(
        described.drive_lines[0], links=(*described.drive_lines[0].links[:2], last)
    )
    (found,) = check_lines(dataclasses.replace(described, drive_lines=(line,)))
    assert found.rated_load_ohm == pytest.approx(16 * 8 / 24)


@pytest.mark.parametrize(
    ("curve", "words"),
    [
        (ImpedanceCurve((100.0,), (8.0,)), "at least two points"),
        (ImpedanceCurve((100.0, 200.0), (8.0,)), "one magnitude"),
        (ImpedanceCurve((100.0, 200.0), (8.0, 8.0), (0.0,)), "one phase or none"),
        (ImpedanceCurve((200.0, 100.0), (8.0, 8.0)), "must rise"),
        (ImpedanceCurve((100.0, 200.0), (8.0, 0.0)), "magnitudes must lie between"),
        (ImpedanceCurve((100.0, 200.0), (8.0, -8.0)), "magnitudes must lie between"),
        (ImpedanceCurve((100.0, 200.0), (8.0, float("nan"))), "magnitudes must lie between"),
        (ImpedanceCurve((0.0, 200.0), (8.0, 8.0)), "frequencies must lie between"),
        (ImpedanceCurve((100.0, 200.0), (8.0, 8.0), (0.0, 100.0)), "phases must lie between"),
        (ImpedanceCurve((100.0, 200.0), (8.0, 8.0), (), "unknown"), "must say whether"),
    ],
)
def test_curves_that_cannot_be(curve: ImpedanceCurve, words: str) -> None:
    faults = validate(system(loudspeakers=(loudspeaker(ways=(way(impedance_curve=curve),)),)))
    assert any(words in fault for fault in faults), faults


def test_series_without_a_box_before_is_refused() -> None:
    first = dataclasses.replace(link(), series_with_previous=True)
    assert any(
        "no box before it" in f for f in validate(system(drive_lines=(drive_line(links=(first,)),)))
    )
    described = in_series()
    both = dataclasses.replace(described.drive_lines[0].links[1], from_amplifier=True)
    line = dataclasses.replace(
        described.drive_lines[0], links=(described.drive_lines[0].links[0], both)
    )
    faults = validate(dataclasses.replace(described, drive_lines=(line,)))
    assert any("cannot start at the amplifier" in fault for fault in faults)
