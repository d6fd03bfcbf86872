"""The one door: unknown is never a pass, same input same result, nothing is ever NaN."""

import dataclasses
import json
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.acoustics.findings import exposure_finding
from calc.acoustics.sources import Field
from calc.check import check
from calc.figure import UNKNOWN, Figure
from calc.prediction import SEVERITY, Finding, LineResult, Prediction
from calc.serialise import to_plain
from calc.system import ModeLimits, SystemDescription
from tests.calc.builders import (
    amplifier,
    area,
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


def line_of(described: SystemDescription) -> LineResult:
    return check(described).lines[0]


def finding(line: LineResult, name: str) -> Finding:
    (found,) = (f for f in line.findings if f.check == name)
    return found


def of_rig(prediction: Prediction, name: str) -> list[Finding]:
    return [f for f in prediction.findings if f.check == name]


GOOD = {"amplifiers": (amplifier(ratings={8: 700, 4: 1200}),)}


def test_a_good_line_holds_throughout() -> None:
    line = line_of(system(**GOOD))
    assert {f.check: f.state for f in line.findings} == dict.fromkeys(
        ("load", "power", "peak", "cable_loss", "damping", "headroom", "limiter", "pole_pair"),
        "holds",
    )
    assert line.state == "holds"
    assert line.power_low_w == pytest.approx(700)
    assert line.headroom_db == pytest.approx(2.43 - 0.17, abs=0.01)  # 700 / 400 less the cable
    assert line.drive_v == line.rated_voltage_v


@pytest.mark.parametrize(
    ("changes", "open_checks"),
    [
        (
            {"loudspeakers": (loudspeaker(ways=(way(impedance=None, minimum=None),)),)},
            {"load", "power", "peak", "cable_loss", "damping", "headroom", "limiter"},
        ),
        (
            {"loudspeakers": (loudspeaker(ways=(way(power=None),)),)},
            {"power", "headroom", "limiter"},
        ),
        ({"cables": (cable(area=None),)}, {"cable_loss", "damping", "headroom"}),
        ({"cables": (cable(conductor_class="unknown"),)}, {"cable_loss", "damping", "headroom"}),
        ({"cables": (cable(length=None),)}, {"cable_loss", "damping", "headroom"}),
        (
            {"drive_lines": (drive_line(links=(link(cable_name=""),)),)},
            {"cable_loss", "damping", "headroom"},
        ),
        ({"amplifiers": (amplifier(ratings={8: 700}, minimum=None),)}, {"load"}),
        ({"amplifiers": (amplifier(ratings={8: 700}, gain_db=UNKNOWN),)}, {"limiter"}),
        ({"amplifiers": (amplifier(ratings={8: 700}, damping_factor=UNKNOWN),)}, {"damping"}),
        ({"amplifiers": (amplifier(ratings={4: 700}),)}, {"power", "peak", "headroom", "limiter"}),
        (
            {"drive_lines": (drive_line(amplifier_place=""),)},
            {"load", "power", "peak", "damping", "headroom", "limiter"},
        ),
        (
            {"drive_lines": (drive_line(links=()),)},
            {"load", "power", "peak", "cable_loss", "damping", "headroom", "limiter", "pole_pair"},
        ),
    ],
)
def test_unknown_in_gives_cannot_check(changes, open_checks) -> None:
    line = line_of(system(**(GOOD | changes)))
    assert {f.check for f in line.findings if f.state == "cannot check"} == open_checks
    assert line.state == "cannot check"
    for found in line.findings:
        if found.state == "cannot check" and found.check != "limiter":
            assert found.value is None or found.check == "load"


def test_what_is_known_to_fail_fails_although_something_else_is_unknown() -> None:
    """80 m of thin cable gives a damping below 5 whatever the amplifier is."""
    line = line_of(
        system(
            cables=(cable(area=1.5, length=80),),
            amplifiers=(amplifier(damping_factor=UNKNOWN),),
        )
    )
    found = finding(line, "damping")
    assert found.state == "fails" and "at most" in found.sentence
    assert line.boxes[0].damping_factor is None


@pytest.mark.parametrize(
    ("minimum", "least", "kind", "state"),
    [
        (6.4, 8, "rated", "holds"),  # dips to exactly 0.8
        (5.0, 8, "rated", "tight"),
        (5.0, 8.5, "rated", "fails"),
        (5.0, 5, "true", "holds"),
        (5.0, 6, "true", "fails"),
    ],
)
def test_minimum_load_by_its_kind(minimum, least, kind, state) -> None:
    """A minimum is a rated load unless stated as a true impedance."""
    modes = (ModeLimits("per channel", known(least), kind, 0.0),)
    described = system(
        loudspeakers=(loudspeaker(ways=(way(minimum=minimum),)),),
        amplifiers=(amplifier(modes=modes),),
    )
    found = finding(line_of(described), "load")
    assert found.state == state
    reading = "true impedance" if kind == "true" else "rated load"
    assert any(reading in step for step in found.working)


def test_three_boxes_on_a_sheet_that_prints_two_and_two_thirds() -> None:
    described = boxes_on_one_line(3, amplifiers=(amplifier(minimum=2.67),))
    assert finding(line_of(described), "load").state == "holds"


@pytest.mark.parametrize(
    ("watts", "state"), [(300, "tight"), (500, "tight"), (600, "holds"), (800, "holds"),
                         (1000, "tight"), (1600, "tight"), (1700, "fails")],
)  # fmt: skip
def test_amplifier_power(watts: float, state: str) -> None:
    """1.5 to 2 times 400 W holds; beyond 4 times (6 dB) fails."""
    found = finding(line_of(system(amplifiers=(amplifier(ratings={8: watts}),))), "power")
    assert found.state == state
    assert found.value == pytest.approx(watts / 400)


def test_mean_clean_power_for_the_crest_factor() -> None:
    """1/8 of a sine's power just clips at a crest factor of 12.04 dB (MATH)."""
    described = system(amplifiers=(amplifier(ratings={8: 800}),))
    choices = dataclasses.replace(described.choices, crest_factor_db=12.041)
    working = finding(line_of(dataclasses.replace(described, choices=choices)), "power").working
    assert any("mean power of 100 W" in step for step in working)


@pytest.mark.parametrize(
    ("role", "length", "state"),
    [("top", 10, "holds"), ("sub", 10, "holds"), ("sub", 30, "tight"), ("top", 30, "holds"),
     ("sub", 60, "fails"), ("top", 60, "tight"), ("top", 120, "fails")],
)  # fmt: skip
def test_damping_is_wished_for_by_role(role, length, state) -> None:
    """2.5 mm2, 30 m, 8 ohm: 16.2 at the box (MATH): short of 20 for a sub, fine for a top."""
    described = system(loudspeakers=(loudspeaker(role=role),), cables=(cable(length=length),))
    assert finding(line_of(described), "damping").state == state


@pytest.mark.parametrize(
    ("watts", "state"), [(700, "holds"), (500, "tight"), (350, "tight"), (150, "fails")]
)
def test_headroom(watts: float, state: str) -> None:
    found = finding(line_of(system(amplifiers=(amplifier(ratings={8: watts}),))), "headroom")
    assert found.state == state


def test_unmentioned_bridge_is_not_passed() -> None:
    only = (ModeLimits("per channel", known(2), "rated", 0.0),)
    described = system(
        amplifiers=(amplifier(ratings={8: 400, 4: 700}, modes=only),),
        drive_lines=(drive_line(mode="bridged"),),
    )
    found = finding(line_of(described), "load")
    assert found.state == "cannot check" and "does not say" in found.sentence


def test_every_finding_can_be_followed() -> None:
    """Each line finding has its working and its limit's source, and names its line."""
    for found in line_of(boxes_on_one_line(2)).findings:
        assert found.working and found.limit_source and found.unit
        assert found.sentence.startswith("Line Left: ")


def test_ways_driven_by_nobody_or_twice() -> None:
    described = system(
        placements=(placement(), placement("Top 2")),
        drive_lines=(drive_line(), drive_line("Again", channel=2)),
    )
    prediction = check(described)
    twice, nobody = of_rig(prediction, "undriven_way")
    assert twice.state == nobody.state == "fails"
    assert "Top 1, way full is driven twice, by Left and Again" in twice.sentence
    assert "Top 2, way full is driven by nobody" in nobody.sentence
    assert prediction.areas == ()  # one is silent, the other one's voltage is anybody's guess
    assert [f.state for f in of_rig(check(system()), "undriven_way")] == ["holds"]


def two_boxes(**second) -> SystemDescription:
    """A second box whose sheet lacks something."""
    odd = loudspeaker("Odd", ways=(way(**second),))
    return system(
        loudspeakers=(loudspeaker(), odd),
        placements=(placement(), placement("Side", "Odd", x_m=3.0)),
        drive_lines=(drive_line(), drive_line("Side", (link("Side"),), channel=2)),
    )


def test_a_box_without_coverage_angles_leaves_evenness_open() -> None:
    prediction = check(two_boxes(coverage_h_deg=UNKNOWN))
    assert any("Side (full) is not in the map" in text for text in prediction.unchecked)
    (coverage,) = of_rig(prediction, "coverage")
    assert coverage.state == "cannot check" and coverage.value is None
    assert len(prediction.areas) == 1
    (exposure,) = of_rig(prediction, "exposure")
    assert exposure.state == "tight" and "or more" in exposure.sentence


def test_a_sub_that_cannot_be_drawn_does_not_matter_for_the_mids() -> None:
    sub = {"coverage_h_deg": UNKNOWN, "low_hz": known(40), "high_hz": known(100)}
    (coverage,) = of_rig(check(two_boxes(**sub)), "coverage")
    assert coverage.state != "cannot check"


def test_a_line_of_unknown_voltage_is_not_in_the_map() -> None:
    prediction = check(system(drive_lines=(drive_line(links=(link(cable_name=""),)),)))
    assert prediction.areas == ()
    assert any("its voltage is unknown" in text for text in prediction.unchecked)
    states = {f.check: f.state for f in prediction.findings}
    assert states["coverage"] == states["exposure"] == "cannot check"


def test_subs_alone_give_no_evenness_and_no_infinity() -> None:
    sub = loudspeaker(role="sub", ways=(way(low_hz=known(40), high_hz=known(100)),))
    prediction = check(system(loudspeakers=(sub,)))
    assert {f.check: f.state for f in prediction.findings}["coverage"] == "cannot check"
    assert prediction.areas[0].mean_mid_db == 0


def test_loud_and_quiet_rigs() -> None:
    """WHO: 100 dB LAeq,15min. A rig that cannot reach it holds."""
    quiet = loudspeaker(ways=(way(sensitivity=80),))
    (found,) = of_rig(check(system(loudspeakers=(quiet,))), "exposure")
    assert found.state == "holds" and "crew" in found.sentence
    (loud,) = of_rig(check(system()), "exposure")
    assert loud.state == "tight" and loud.value is not None and loud.value > 100
    assert "estimate" in loud.sentence


def test_cautions_and_limits_of_the_method_are_told() -> None:
    prediction = check(system())
    text = " ".join(prediction.cautions)
    for word in ("licensed electrician", "local", "hearing", "riggers"):
        assert word in text
    assert any("direct sound only" in text for text in prediction.unchecked)


def test_progress_is_told_and_changes_nothing() -> None:
    told: list[tuple[int, int, str]] = []
    described = boxes_on_one_line(2, areas=(area(), area("Balcony", floor_z_m=4.0)))
    with_progress = check(described, lambda *step: told.append(step))
    assert with_progress == check(described)
    assert [done for done, _, _ in told] == [0, 1, 2, 3]
    assert {total for _, total, _ in told} == {3}
    assert [what for _, _, what in told[:3]] == ["drive line Left", "area Floor", "area Balcony"]


def test_progress_also_ends_when_nothing_can_be_drawn() -> None:
    told: list[tuple[int, int]] = []
    check(system(placements=(), drive_lines=()), lambda done, total, _: told.append((done, total)))
    assert told[-1][0] == told[-1][1]


def test_an_empty_description_is_valid() -> None:
    prediction = check(SystemDescription(event="Nothing yet"))
    assert prediction == Prediction((), (), (), (), (), (), ())


values = st.one_of(st.none(), st.floats(1, 2000))
impedances = st.one_of(st.none(), st.floats(2, 32))


@st.composite
def rigs(draw: st.DrawFn) -> SystemDescription:
    """Any small rig with any figures missing."""
    count = draw(st.integers(1, 4))
    one = way(
        impedance=draw(impedances),
        minimum=draw(impedances),
        power=draw(values),
        peak=None,
        sensitivity=draw(st.one_of(st.none(), st.floats(80, 115))),
        coverage_h_deg=maybe(draw(st.one_of(st.none(), st.floats(5, 360)))),
    )
    amp = amplifier(
        ratings={8: draw(values), 4: draw(values), 2: draw(values)},
        minimum=draw(impedances),
        gain_db=maybe(draw(st.one_of(st.none(), st.floats(10, 50)))),
        damping_factor=maybe(draw(values)),
        eighth_power_w=maybe(draw(values)),
    )
    line = cable("Flex 2.5 10 m", draw(st.one_of(st.none(), st.floats(0.5, 20))), 10)
    return boxes_on_one_line(
        count,
        chained=draw(st.booleans()),
        loudspeakers=(loudspeaker(ways=(one,)),),
        amplifiers=(amp,),
        cables=(line,),
        processors=(processor(step=draw(st.sampled_from([None, 0.1, 0.5]))),),
        areas=(area(corners=((-3.0, 3.0), (3.0, 3.0), (3.0, 8.0))),),
    )


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(rigs())
def test_whatever_is_missing_the_answer_is_finite_and_the_same(described) -> None:
    prediction = check(described)
    text = json.dumps(to_plain(prediction), allow_nan=False)
    assert json.dumps(to_plain(check(described))) == text
    for line in prediction.lines:
        assert line.state in SEVERITY
        for found in line.findings:
            assert (found.value is not None) or found.state == "cannot check"


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 3), st.floats(1, 200), st.floats(1, 100))
def test_more_cable_never_raises_a_figure(count: int, length: float, more: float) -> None:
    short, long = (
        line_of(boxes_on_one_line(count, cables=(cable(length=metres),), areas=(), **LOW))
        for metres in (length, length + more)
    )
    assert long.worst_cable_loss_db > short.worst_cable_loss_db
    assert long.worst_damping_factor < short.worst_damping_factor
    assert long.headroom_db < short.headroom_db
    assert all(a.voltage_v < b.voltage_v for a, b in zip(long.boxes, short.boxes, strict=True))


LOW = {"amplifiers": (amplifier(ratings={8: 700, 4: 1200, 2: 1800}, minimum=2),)}


def test_headroom_is_that_of_the_last_box_on_a_chain() -> None:
    """Three boxes from box to box, 30 m each: the last one gets least."""
    line = line_of(boxes_on_one_line(3, cables=(cable(length=30),), **LOW))
    losses = [box.cable_loss_db for box in line.boxes]
    assert losses[0] < losses[1] < losses[2] == line.worst_cable_loss_db
    found = finding(line, "headroom")
    assert "at Top 3" in found.sentence
    whole = 20 * math.log10(line.voltage_low_v / line.rated_voltage_v)
    assert line.headroom_db == pytest.approx(whole - losses[2])


def test_the_map_is_drawn_for_what_the_amplifier_gives() -> None:
    """200 W into 8 ohm are 40 V; a 400 W box is never driven beyond its 56.6 V."""
    small, big = (
        line_of(system(amplifiers=(amplifier(ratings={8: watts}),))) for watts in (200, 1600)
    )
    assert small.drive_v == pytest.approx(40)
    assert big.drive_v == pytest.approx(56.57, abs=0.005)
    assert big.boxes[0].voltage_v == pytest.approx(56.57 * 8 / (8 + 0.1596), abs=0.005)


def test_between_rated_loads_the_map_takes_the_low_bound() -> None:
    """Two 12 ohm boxes are 6 ohm, between ratings at 4 and 8."""
    twelve = loudspeaker(ways=(way(impedance=12, minimum=None, power=900),))
    line = line_of(boxes_on_one_line(2, loudspeakers=(twelve,)))
    assert line.voltage_low_v < line.voltage_high_v < line.rated_voltage_v
    assert line.drive_v == line.voltage_low_v


def test_assumed_figures_are_told_where_they_count() -> None:
    """A guess that somebody entered goes with every finding that rests on it, and no other."""
    guess = way(noise_power_w=Figure(400.0, "assumed"))
    guessed_length = dataclasses.replace(cable(), length_m=Figure(10.0, "assumed"))
    line = line_of(
        system(
            loudspeakers=(loudspeaker(ways=(guess,)),),
            cables=(guessed_length,),
            amplifiers=(amplifier(gain_db=Figure(32.0, "assumed")),),
        )
    )
    told = {f.check: " ".join(f.assumed) for f in line.findings}
    assert {c for c, text in told.items() if "its noise power of 400 W is assumed" in text} == {
        "power", "headroom", "limiter",
    }  # fmt: skip
    assert {c for c, text in told.items() if "its length of 10 m is assumed" in text} == {
        "cable_loss", "damping", "headroom",
    }  # fmt: skip
    assert {c for c, text in told.items() if "its gain of 32 dB is assumed" in text} == {"limiter"}
    assert not any(" is assumed" in " ".join(f.assumed) for f in line_of(system()).findings)


@pytest.mark.parametrize(("loudest", "time"), [(103.0, "7.5 min"), (105.0, "4.7 min")])
def test_time_until_the_allowance_is_used_up(loudest: float, time: str) -> None:
    """NIOSH: 100 dBA 15 min, T = 480 / 2^((L - 85) / 3): 103 gives 7.5, 105 gives 4.725 min."""
    (area_found,) = check(system()).areas
    field = Field((), (), (), ())
    found = exposure_finding("Floor", dataclasses.replace(area_found, loudest_a_db=loudest), field)
    assert f"in {time}" in found.sentence
