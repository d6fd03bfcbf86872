"""Many lines at once give exactly what each line gives by itself."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check_lines
from calc.electrical.bulk import bulk_figures, bulk_states, columns_of
from calc.figure import UNKNOWN
from calc.prediction import SEVERITY
from calc.system import (
    AmplifierPlace,
    CableSheet,
    Choices,
    ImpedanceCurve,
    ModeLimits,
    ProcessorPlace,
)
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    cable,
    drive_line,
    known,
    link,
    loudspeaker,
    maybe,
    placement,
    processor,
    system,
    way,
)

FIGURES = (
    "rated_load_ohm", "minimum_load_ohm", "amplifier_minimum_ohm", "voltage_low_v",
    "voltage_high_v", "rated_noise_power_w", "rated_voltage_v", "peak_margin_db",
    "worst_cable_loss_db", "worst_damping_factor", "headroom_db", "gain_db", "limiter_rms_dbu",
    "limiter_peak_dbu",
)  # fmt: skip


def assert_same(described) -> None:
    """Every figure and every state, line by line."""
    columns = columns_of(described)
    figures = bulk_figures(columns)
    states = bulk_states(columns, figures)
    for row, line in enumerate(check_lines(described)):
        for name in FIGURES:
            ours, theirs = getattr(figures, name)[row], getattr(line, name)
            if theirs is None:
                assert np.isnan(ours), (line.name, name, ours)
            else:
                assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-9), (line.name, name)
        for found in line.findings:
            state = SEVERITY[getattr(states, found.check)[row]]
            assert state == found.state, (line.name, found.check, found.sentence)
        assert SEVERITY[states.worst[row]] == line.state


def test_the_plain_example() -> None:
    assert_same(system())
    assert_same(boxes_on_one_line(5))
    assert_same(boxes_on_one_line(3, chained=False))


def test_no_line_no_box_no_amplifier() -> None:
    assert_same(system(drive_lines=()))
    assert_same(system(drive_lines=(drive_line(links=()),)))
    nobody = dataclasses.replace(drive_line(), processor="", amplifier="", output=None)
    assert_same(system(drive_lines=(nobody,)))
    assert_same(system(drive_lines=(nobody,), amplifiers=(), amplifier_places=()))
    assert_same(system(cables=(), drive_lines=(drive_line(links=(link(cable_name=""),)),)))


def test_what_is_not_covered_says_so() -> None:
    curve = ImpedanceCurve((80.0, 16000.0), (6.0, 9.0))
    curved = system(loudspeakers=(loudspeaker(ways=(way(impedance_curve=curve),)),))
    pair = boxes_on_one_line(2)
    joined = dataclasses.replace(pair.drive_lines[0].links[1], series_with_previous=True)
    series = dataclasses.replace(
        pair,
        drive_lines=(
            dataclasses.replace(pair.drive_lines[0], links=(pair.drive_lines[0].links[0], joined)),
        ),
    )
    programme = system(choices=Choices(limiter_basis="programme", limiter_basis_by="Robin"))
    for described in (curved, series, programme):
        columns = columns_of(described)
        states = bulk_states(columns, bulk_figures(columns))
        assert not columns.covered[0]
        assert SEVERITY[states.worst[0]] == SEVERITY[states.load[0]] == "cannot check"


some = st.none() | st.sampled_from([2.0, 4.0, 8.0, 16.0])
watts = st.none() | st.floats(50, 4000)


@st.composite
def inventories(draw):
    """Lines of any kind: unknown figures, thin cables, all modes, several sheets."""
    ways = st.builds(
        lambda z, low, p, peak: way(
            impedance=z,
            minimum=low,
            power=p,
            peak=None if p is None or peak is None else p * peak,
            pole_pair=1 if z in (4.0, None) else 2,
        ),
        some,
        st.none() | st.floats(1.5, 16),
        watts,
        st.none() | st.floats(1, 8),
    )
    sheets = [
        loudspeaker(f"Box {i}", draw(st.sampled_from(["top", "sub"])), (draw(ways),))
        for i in range(draw(st.integers(1, 3)))
    ]
    amplifiers = [draw(amplifier_sheets(f"Amp {i}")) for i in range(draw(st.integers(1, 3)))]
    cables = [
        CableSheet(
            f"Cable {i}",
            draw(st.sampled_from([known(1.5), known(2.5), known(3.3), UNKNOWN])),
            draw(st.sampled_from(["5", "1/2", "unknown"])),
            draw(st.sampled_from([known(0), known(5), known(40), UNKNOWN])),
            draw(st.integers(1, 2)),
        )
        for i in range(2)
    ]
    placed, lines, places = [], [], []
    for row in range(draw(st.integers(1, 5))):
        links = []
        for box in range(draw(st.integers(0, 4))):
            name = f"P {row} {box}"
            placed.append(placement(name, draw(st.sampled_from(sheets)).name))
            links.append(
                link(
                    name,
                    draw(st.sampled_from(["Cable 0", "Cable 1", "Cable 0", ""])),
                    box == 0 or draw(st.booleans()),
                    draw(st.integers(1, 3)),
                )
            )
        place = f"Place {row}"
        places.append(
            AmplifierPlace(
                place, "", draw(st.sampled_from(amplifiers)).name, "",
                draw(st.none() | st.floats(10, 40)),
            )
        )  # fmt: skip
        lines.append(
            dataclasses.replace(
                drive_line(
                    f"Line {row}",
                    tuple(links),
                    draw(st.sampled_from(["per channel", "bridged", "parallel"])),
                    level_control=draw(st.sampled_from([0.0, -6.0, -31.5])),
                    amplifier_place=draw(st.sampled_from([place, place, place, ""])),
                ),
                processor=draw(st.sampled_from(["FOH", ""])),
            )
        )
    return system(
        loudspeakers=tuple(sheets),
        amplifiers=tuple(amplifiers),
        cables=tuple(cables),
        placements=tuple(placed),
        amplifier_places=tuple(places),
        processors=(
            processor(
                step=draw(st.sampled_from([None, 0.1, 0.25, 0.5])),
                top=draw(st.sampled_from([None, 3.0, 20.0])),
            ),
        ),
        processor_places=(ProcessorPlace("FOH", "Proc"),),
        drive_lines=tuple(lines),
        areas=(),
    )


@st.composite
def amplifier_sheets(draw, name: str):
    loads = draw(st.lists(st.sampled_from([2.0, 2.67, 4.0, 8.0, 16.0]), unique=True, max_size=4))
    ratings = {load: draw(st.none() | st.floats(100, 5000)) for load in loads}
    pairs = draw(st.lists(st.sampled_from([4.0, 8.0, 16.0]), unique=True, max_size=2))
    modes = [
        ModeLimits(
            mode,
            maybe(draw(st.none() | st.sampled_from([1.0, 2.0, 2.67, 4.0, 8.0]))),
            draw(st.sampled_from(["rated", "true"])),
            draw(st.sampled_from([0.0, 6.0])),
        )
        for mode in ("per channel", "bridged", "parallel")
        if draw(st.booleans())
    ]
    by_sensitivity = draw(st.booleans())
    return amplifier(
        name,
        ratings,
        {load: draw(st.floats(200, 9000)) for load in pairs},
        modes=tuple(modes),
        gain_db=UNKNOWN if by_sensitivity else known(32),
        sensitivity_v=known(1.0) if by_sensitivity else UNKNOWN,
        sensitivity_load_ohm=known(8.0) if by_sensitivity else UNKNOWN,
        damping_factor=maybe(draw(st.none() | st.floats(5, 2000))),
        peak_v=maybe(draw(st.none() | st.floats(30, 200))),
    )


@settings(deadline=None, max_examples=300)
@given(inventories())
def test_any_inventory_is_the_same_line_by_line(described) -> None:
    assert_same(described)


def test_an_endless_line() -> None:
    assert_same(boxes_on_one_line(3000, areas=()))


def test_a_cable_without_length_has_no_damping_figure_of_its_own() -> None:
    assert_same(system(cables=(cable(length=0),)))
