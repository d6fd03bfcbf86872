"""What must be true of any drive line, through the door `check_lines`."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check_lines
from calc.electrical.gain import volts_of_dbu
from calc.figure import UNKNOWN
from calc.prediction import LineResult
from calc.system import AmplifierPlace, ImpedanceCurve, SystemDescription
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    cable,
    drive_line,
    link,
    loudspeaker,
    placement,
    processor,
    system,
    way,
)

quick = settings(deadline=None, max_examples=60)


def line_of(described: SystemDescription) -> LineResult:
    (line,) = check_lines(described)
    return line


def curve(size: float, swing: float, phase: float) -> ImpedanceCurve:
    return ImpedanceCurve(
        (60.0, 300.0, 2000.0, 18000.0), (size, size * swing, size, size * swing),
        (phase, -phase, phase / 2, phase),
    )  # fmt: skip


@quick
@given(
    st.integers(1, 5),
    st.booleans(),
    st.floats(0.1, 60),
    st.floats(1.01, 5),
    st.none() | st.tuples(st.floats(4, 30), st.floats(1, 4), st.floats(-60, 60)),
)
def test_more_cable_never_raises_a_level(count, chained, length, more, curved) -> None:
    shape = None if curved is None else curve(*curved)
    box = loudspeaker(ways=(way(impedance_curve=shape),))
    amplifiers = (amplifier(ratings={8: 900, 1: 4000}),)

    def drawn(metres: float) -> LineResult:
        described = boxes_on_one_line(
            count,
            chained=chained,
            cables=(cable(length=metres),),
            loudspeakers=(box,),
            amplifiers=amplifiers,
        )
        return line_of(described)

    for short, long in zip(drawn(length).boxes, drawn(length * more).boxes, strict=True):
        assert long.cable_loss_db > short.cable_loss_db
        assert long.voltage_v < short.voltage_v
        assert long.damping_factor < short.damping_factor
        if not chained:
            assert long.loss_most_db >= short.loss_most_db - 1e-9


@quick
@given(
    st.lists(
        st.tuples(st.sampled_from([4.0, 8.0, 16.0]), st.booleans(), st.booleans()),
        min_size=1,
        max_size=6,
    ),
    st.floats(0.1, 60),
)
def test_what_the_amplifier_gives_arrives_in_boxes_and_cables(boxes, length) -> None:
    """Also in series: watts of all boxes and cables are volts times amps at the start."""
    sheets = tuple(
        loudspeaker(f"Box {z:g}", ways=(way(impedance=z, minimum=None),)) for z in (4, 8, 16)
    )
    links, placed = [], []
    for index, (ohm, at_amplifier, series) in enumerate(boxes):
        placed.append(placement(f"P{index}", f"Box {ohm:g}"))
        links.append(
            dataclasses.replace(
                link(f"P{index}", from_amplifier=index == 0 or (at_amplifier and not series)),
                series_with_previous=index > 0 and series,
            )
        )
    line = line_of(
        system(
            loudspeakers=sheets,
            placements=tuple(placed),
            drive_lines=(drive_line(links=tuple(links)),),
            cables=(cable(length=length),),
            amplifiers=(amplifier(ratings={100: 50, 0.5: 9000}),),
        )
    )
    given_w = sum(
        line.drive_v * run.current_a for run in line.runs if not run.start and not run.in_series
    )
    used = sum(box.power_w for box in line.boxes) + sum(run.loss_w for run in line.runs)
    assert used == pytest.approx(given_w, rel=1e-9)
    assert line.cable_loss_w == pytest.approx(sum(run.loss_w for run in line.runs), rel=1e-9)


@quick
@given(st.floats(4.0, 16.0), st.floats(100, 900), st.floats(1.1, 2.0))
def test_bridging_equals_two_half_loads(load: float, watts: float, growth: float) -> None:
    """One box on a bridged pair, or its half on each of the two channels: the same watts in all."""
    amp = amplifier(ratings={8: watts, 4: watts * growth, 2: watts * growth**2}, minimum=2)
    whole = loudspeaker("Whole", ways=(way(impedance=load, minimum=None),))
    half = loudspeaker("Half", ways=(way(impedance=load / 2, minimum=None),))
    pair = line_of(
        system(
            loudspeakers=(whole,),
            placements=(placement(sheet="Whole"),),
            amplifiers=(amp,),
            drive_lines=(drive_line(mode="bridged"),),
        )
    )
    one, two = check_lines(
        system(
            loudspeakers=(half,),
            placements=(placement("A", "Half"), placement("B", "Half")),
            amplifiers=(amp,),
            amplifier_places=(AmplifierPlace("Rack 1 A", "Rack 1", "Amp"),),
            drive_lines=(
                drive_line("One", (link("A"),)),
                drive_line("Two", (link("B"),), channel=2),
            ),
        )
    )
    for bound in ("power_low_w", "power_high_w"):
        both = getattr(one, bound) + getattr(two, bound)
        assert getattr(pair, bound) == pytest.approx(both, rel=1e-9)
    assert pair.voltage_low_v == pytest.approx(2 * one.voltage_low_v, rel=1e-9)
    assert pair.channel_rated_load_ohm == pytest.approx(one.rated_load_ohm, rel=1e-9)
    states = {f.check: f.state for f in one.findings}
    assert {f.check: f.state for f in pair.findings}["load"] == states["load"]


@quick
@given(
    st.floats(50, 2000),
    st.floats(2, 16),
    st.sampled_from([0.01, 0.1, 0.25, 0.5, 1.0]),
    st.sampled_from([0.0, -3.0, -12.5]),
    st.sampled_from(["per channel", "bridged"]),
)
def test_a_limiter_never_lets_more_through_than_the_box_bears(
    watts, ohm, step, level_control, mode
) -> None:
    line = line_of(
        system(
            loudspeakers=(loudspeaker(ways=(way(impedance=ohm, power=watts, peak=None),)),),
            processors=(processor(step=step),),
            drive_lines=(drive_line(mode=mode, level_control=level_control),),
        )
    )
    at_box = volts_of_dbu(line.limiter_rms_dbu + level_control + line.gain_db)
    assert at_box <= (watts * ohm) ** 0.5 * (1 + 1e-9)
    assert at_box > (watts * ohm) ** 0.5 * 10 ** (-step / 20) * (1 - 1e-6)
    peak = volts_of_dbu(line.limiter_peak_dbu + level_control + line.gain_db)
    assert peak <= 2 * (watts * ohm) ** 0.5 * (1 + 1e-9)


KNOWN = {
    "loudspeakers": ("rated_impedance_ohm", "noise_power_w"),
    "amplifiers": ("gain_db", "damping_factor"),
    "cables": ("area_mm2", "length_m"),
}


@quick
@given(
    st.sampled_from([(kind, field) for kind, fields in KNOWN.items() for field in fields]),
    st.floats(1, 80),
    st.floats(100, 3000),
    st.floats(2, 16),
)
def test_unknown_in_never_gives_a_better_state_out(where, length, watts, least) -> None:
    kind, field = where
    described = system(
        cables=(cable(length=length),),
        amplifiers=(amplifier(ratings={8: watts}, minimum=least),),
    )
    (sheet,) = getattr(described, kind)
    if kind == "loudspeakers":
        ways = (dataclasses.replace(sheet.ways[0], **{field: UNKNOWN}),)
        blank = dataclasses.replace(sheet, ways=ways)
    else:
        blank = dataclasses.replace(sheet, **{field: UNKNOWN})
    before = {f.check: f.state for f in line_of(described).findings}
    after = line_of(dataclasses.replace(described, **{kind: (blank,)}))
    assert after.state in ("cannot check", "fails")
    for found in after.findings:
        assert found.state in (before[found.check], "cannot check")
