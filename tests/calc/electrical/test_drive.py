"""A line at full drive: currents, watts, heat and tilt."""

import dataclasses
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check, check_lines
from calc.figure import UNKNOWN
from calc.serialise import to_plain
from calc.system import ImpedanceCurve
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    cable,
    drive_line,
    link,
    loudspeaker,
    placement,
    system,
    way,
)

LOOP = 0.4788
"""Ohm: 30 m of 2.5 mm2 class 5 at 20 degC, both conductors (IEC 60228, checked table)."""


def one_box(**changes):
    """8 ohm at the end of 30 m of 2.5 mm2, damping factor 500 re 8 ohm."""
    return system(cables=(cable(length=30),), **changes)


def test_published_case() -> None:
    """0.5049 dB, 5.647 % of the power in the cable (MATH on IEC 60228); 56.57 V drive it."""
    (line,) = check_lines(one_box(amplifiers=(amplifier(ratings={8: 800}),)))
    (box,), (run,) = line.boxes, line.runs
    assert box.cable_loss_db == pytest.approx(0.5049, rel=1e-3)
    assert line.cable_loss_share == pytest.approx(0.05647, rel=1e-3)
    assert line.drive_v == pytest.approx(math.sqrt(3200))
    current = math.sqrt(3200) / (8 + LOOP)
    assert box.current_a == pytest.approx(current, rel=1e-9)
    assert box.power_w == pytest.approx(current**2 * 8, rel=1e-9)
    assert run.loss_w == line.cable_loss_w == pytest.approx(current**2 * LOOP, rel=1e-9)
    assert run.heat_w_per_m == pytest.approx(current**2 * LOOP / 30, rel=1e-9)
    assert (run.start, run.placement, run.length_m) == ("", "Top 1", 30)
    assert box.tilt_db is None and box.loss_most_db == pytest.approx(0.5049, rel=1e-3)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 8), st.booleans(), st.sampled_from([1.5, 2.5, 4.0]))
def test_both_ways_of_working_it_out_agree(count: int, chained: bool, area: float) -> None:
    """Volts by the ladder of rated loads times amps by the network are the network's watts."""
    described = boxes_on_one_line(
        count,
        chained=chained,
        cables=(cable(area=area),),
        amplifiers=(amplifier(ratings={8: 900, 0.5: 4000}),),
    )
    (line,) = check_lines(described)
    for box in line.boxes:
        assert box.voltage_v * box.current_a == pytest.approx(box.power_w, rel=1e-9)
    power = sum(box.power_w for box in line.boxes)
    assert line.cable_loss_share == pytest.approx(
        line.cable_loss_w / (power + line.cable_loss_w), rel=1e-9
    )
    last, first = line.boxes[-1].cable_loss_db, line.boxes[0].cable_loss_db
    assert line.cable_spread_db == pytest.approx(last - first, abs=1e-9)


def test_an_impedance_curve_bends_the_response() -> None:
    """A box of 4 to 32 ohm behind 0.4788 ohm: 0.982 dB less 0.129 dB of tilt (MATH)."""
    curve = ImpedanceCurve((80.0, 16000.0), (4.0, 32.0), (0.0, 0.0))
    (line,) = check_lines(one_box(loudspeakers=(loudspeaker(ways=(way(impedance_curve=curve),)),)))
    (box,) = line.boxes
    assert box.loss_most_db == pytest.approx(0.9820, rel=1e-3)
    wanted = 20 * math.log10((4 + LOOP) / 4) - 20 * math.log10((32 + LOOP) / 32)
    assert box.tilt_db == line.cable_tilt_db == pytest.approx(wanted, rel=1e-6)
    assert box.cable_loss_db == pytest.approx(0.5049, rel=1e-3)  # at the rated impedance


def test_the_working_says_what_the_cables_take() -> None:
    """5.647 % of the power (MATH on IEC 60228), and how far a curve bends the response."""
    curve = ImpedanceCurve((80.0, 16000.0), (4.0, 32.0), (0.0, 0.0))
    loss = next(f for f in check_lines(one_box())[0].findings if f.check == "cable_loss")
    assert any("5.65 % of what the amplifier gives" in step for step in loss.working)
    curved = one_box(loudspeakers=(loudspeaker(ways=(way(impedance_curve=curve),)),))
    loss = next(f for f in check_lines(curved)[0].findings if f.check == "cable_loss")
    assert any("bends the response by 0.85 dB" in step for step in loss.working)
    assert any("pink noise from 80 to 16000 Hz" in text for text in loss.assumed)


def test_a_warm_cable_is_told_and_a_cool_one_is_not() -> None:
    """40 A in 1.5 mm2: 2 x 13.3 mohm/m x 1600 A2 are 42 W a metre."""
    strong = loudspeaker(ways=(way(impedance=2, minimum=None, power=3500, peak=14000),))
    (line,) = check_lines(
        system(
            loudspeakers=(strong,),
            cables=(cable(area=1.5, length=1),),
            amplifiers=(amplifier(ratings={2: 5000}),),
        )
    )
    assert line.runs[0].heat_w_per_m == pytest.approx(42, rel=0.1)
    assert "never coiled" in line.cautions[0]
    assert check_lines(system())[0].cautions == ()


def test_an_unknown_cable_leaves_the_other_run_known() -> None:
    described = system(
        cables=(cable(), cable("Odd", area=None)),
        placements=(placement("A"), placement("B", x_m=1.0)),
        drive_lines=(drive_line(links=(link("A"), link("B", "Odd"))),),
    )
    (line,) = check_lines(described)
    assert line.boxes[0].power_w is not None and line.boxes[1].power_w is None
    assert line.runs[1].current_a is None and line.runs[1].loop_ohm is None
    assert line.cable_loss_w is None and line.cable_loss_share is None


def test_without_a_drive_voltage_there_are_ratios_but_no_watts() -> None:
    (line,) = check_lines(one_box(amplifiers=(amplifier(ratings={}),)))
    assert line.drive_v is None and line.cable_loss_w is None
    assert line.runs[0].current_a is None
    assert line.cable_loss_share == pytest.approx(0.05647, rel=1e-3)


def test_curves_without_common_frequencies_fall_back_to_rated_impedances() -> None:
    low = loudspeaker("Low", ways=(way(impedance_curve=ImpedanceCurve((20.0, 90.0), (6.0, 6.0))),))
    high = loudspeaker(
        "High", ways=(way(impedance_curve=ImpedanceCurve((1000.0, 9000.0), (6.0, 6.0))),)
    )
    described = boxes_on_one_line(
        2,
        loudspeakers=(low, high),
        placements=(placement("Top 1", "Low"), placement("Top 2", "High", x_m=1.0)),
    )
    (line,) = check_lines(described)
    assert line.cable_tilt_db is None and line.cable_loss_w is not None


def test_purely_reactive_boxes_give_no_nonsense() -> None:
    coil = ImpedanceCurve((80.0, 16000.0), (8.0, 8.0), (90.0, 90.0))
    prediction = check(one_box(loudspeakers=(loudspeaker(ways=(way(impedance_curve=coil),)),)))
    assert json.dumps(to_plain(prediction), allow_nan=False)
    assert prediction.lines[0].boxes[0].power_w == pytest.approx(0, abs=1e-9)


def test_unknown_damping_factor_still_gives_currents() -> None:
    (line,) = check_lines(one_box(amplifiers=(amplifier(damping_factor=UNKNOWN),)))
    assert line.boxes[0].current_a is not None


def test_five_thousand_boxes_on_one_line() -> None:
    described = boxes_on_one_line(5000, areas=())
    (line,) = check_lines(described)
    assert line.state != "holds"
    assert json.dumps(to_plain(line), allow_nan=False)
    curve = ImpedanceCurve((80.0, 16000.0), (6.0, 9.0), (-20.0, 30.0))
    curved = dataclasses.replace(
        described, loudspeakers=(loudspeaker(ways=(way(impedance_curve=curve),)),)
    )
    assert json.dumps(to_plain(check_lines(curved)[0]), allow_nan=False)
