"""Phases: the generator trap, the plan, the neutral; sockets, mains cables, switching on."""

import itertools
import json
import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.check import check, validate
from calc.electrical.cables import at_temperature, maximum_ohm_per_m
from calc.electrical.mains.phases import best_plan, neutral_a, neutral_of_rectifiers_a
from calc.electrical.mains.volt_drop import drop_v
from calc.figure import UNKNOWN, Figure
from calc.serialise import prediction_from_plain, to_plain
from calc.system import AmplifierPlace, Circuit, RackFeed, Supply, SystemDescription
from tests.calc.builders import amplifier, known, maybe, system

THREE_PHASE = Supply("Generator board", 3, known(32), known(230), False)


def racks(
    amps: list[float | None],
    phases: list[int | None] | None = None,
    supply: Supply = THREE_PHASE,
    **changes,
) -> SystemDescription:
    """One amplifier to a rack, each drawing so many amps at 1/8 power."""
    sheets = tuple(
        amplifier(f"Amp {i}", eighth_power_w=maybe(None if a is None else a * 230 * 0.65))
        for i, a in enumerate(amps)
    )
    places = tuple(AmplifierPlace(f"A{i}", f"Rack {i}", f"Amp {i}") for i in range(len(amps)))
    feeds = tuple(RackFeed(f"Rack {i}", supply.name, phase) for i, phase in enumerate(phases or ()))
    plain = {
        "amplifiers": sheets,
        "amplifier_places": places,
        "drive_lines": (),
        "areas": (),
        "supplies": (supply,),
        "rack_feeds": feeds,
    }
    return system(**(plain | changes))


def finding(prediction, check_name: str, subject: str | None = None):
    (found,) = (
        f for f in prediction.findings if f.check == check_name and subject in (None, f.subject)
    )
    return found


def test_ten_amplifiers_plugged_five_three_two() -> None:
    """8 A each on three-phase 32 A: 26.7 A on average looks fine; plugged 40/24/16 A it is not."""
    prediction = check(racks([8.0] * 10, [1] * 5 + [2] * 3 + [3] * 2))
    (supply,) = prediction.supplies
    assert [phase.eighth_power_a for phase in supply.phases] == pytest.approx([40, 24, 16])
    found = finding(prediction, "phase")
    assert found.state == "fails"
    assert "phase 1 carries 40 A, 32 A is the most" in found.sentence
    assert supply.best_highest_a == pytest.approx(32)  # 4 + 3 + 3 racks
    assert "fullest phase carries 32 A" in found.remedy
    assert "competent electrician" in found.remedy
    # The total alone would not have shown it.
    assert finding(prediction, "supply").state == "tight"


def test_ten_amplifiers_plugged_evenly_or_not_plugged_yet() -> None:
    evenly = check(racks([8.0] * 10, [1, 1, 1, 1, 2, 2, 2, 3, 3, 3]))
    assert finding(evenly, "phase").state == "tight"
    assert finding(evenly, "phase").value == pytest.approx(32)
    planned = check(racks([8.0] * 10))
    found = finding(planned, "phase")
    assert found.state == "tight" and "not plugged yet" in found.sentence
    assert sorted(len(phase.racks) for phase in planned.supplies[0].phases) == [3, 3, 4]
    generator = Supply("Generator", 3, known(32), known(230), True)
    assert finding(check(racks([8.0] * 10, supply=generator)), "phase").state == "fails"


def test_given_phases_are_kept_and_the_rest_is_planned_around_them() -> None:
    prediction = check(racks([10.0, 4.0, 4.0, 6.0], [1, None, None, None]))
    feeds = {feed.rack: feed for feed in prediction.feeds}
    assert feeds["Rack 0"].phase == 1 and feeds["Rack 0"].given
    assert {feeds[f"Rack {i}"].phase for i in (1, 2)} == {feeds["Rack 1"].phase}
    assert prediction.supplies[0].highest_a == pytest.approx(10)
    assert any("phase 1" in step for step in prediction.start_order)


amps = st.lists(st.floats(0.1, 20), min_size=1, max_size=7)


@settings(deadline=None)
@given(amps, st.lists(st.floats(0, 30), min_size=1, max_size=3))
def test_no_other_plan_is_better(loads: list[float], already: list[float]) -> None:
    def highest(plan) -> float:
        sums = list(already)
        for load, phase in zip(loads, plan, strict=True):
            sums[phase] += load
        return max(sums)

    found = best_plan(loads, already)
    every = itertools.product(range(len(already)), repeat=len(loads))
    assert found.exact
    assert highest(found.phases) == pytest.approx(min(highest(plan) for plan in every), abs=1e-6)
    assert best_plan(loads, already) == found


def test_twelve_racks_are_exact_and_quick_and_more_say_so() -> None:
    loads = [7.3, 6.1, 5.9, 5.2, 4.8, 4.4, 3.9, 3.1, 2.7, 2.2, 1.9, 1.5]
    start = time.perf_counter()
    assert best_plan(loads, [0, 0, 0]).exact
    assert time.perf_counter() - start < 1
    many = best_plan([1.0 + i % 7 for i in range(300)], [0, 0, 0])
    assert not many.exact and len(many.phases) == 300
    sums = [sum(1.0 + i % 7 for i in range(300) if many.phases[i] == p) for p in range(3)]
    assert max(sums) - min(sums) <= 1
    thirteen = check(racks([5.0 + i / 10 for i in range(13)]))
    assert not thirteen.supplies[0].exact
    assert any("rule of thumb" in text for text in thirteen.unchecked)


@given(st.lists(st.floats(0, 40), min_size=13, max_size=25))
@settings(deadline=None, max_examples=50)
def test_rule_of_thumb_is_near_the_average(loads: list[float]) -> None:
    """Never above the average by more than the largest load: no load could then be moved."""
    found = best_plan(loads, [0.0, 0.0, 0.0])
    sums = [0.0, 0.0, 0.0]
    for load, phase in zip(loads, found.phases, strict=True):
        sums[phase] += load
    assert max(sums) <= sum(loads) / 3 + max(loads) + 1e-6


def test_neutral() -> None:
    """Three equal phases cancel; 40/24/16 A leave sqrt(448) A; rectifiers sqrt(3) I (MATH)."""
    assert neutral_a([10, 10, 10]) == pytest.approx(0, abs=1e-9)
    assert neutral_a([40, 24, 16]) == pytest.approx(math.sqrt(448))
    assert neutral_a([7]) == pytest.approx(7)
    assert neutral_of_rectifiers_a([10, 10, 10]) == pytest.approx(17.3205, rel=1e-5)
    prediction = check(racks([8.0] * 10, [1] * 5 + [2] * 3 + [3] * 2))
    assert prediction.supplies[0].neutral_a == pytest.approx(math.sqrt(448))
    assert any("third harmonics" in step for step in finding(prediction, "phase").working)


def test_unknown_current_is_no_pass_but_a_known_overload_still_fails() -> None:
    some = check(racks([8.0, None], [1, 2]))
    assert finding(some, "phase").state == "cannot check"
    assert "Rack 1" in finding(some, "phase").sentence
    assert some.supplies[0].highest_a is None and some.supplies[0].best_highest_a is None
    over = check(racks([20.0, 20.0, None], [1, 1, 1]))
    assert finding(over, "phase").state == "fails"
    no_limit = Supply("Odd", 3, UNKNOWN, known(230), False)
    assert finding(check(racks([8.0], [1], no_limit)), "phase").state == "cannot check"


def test_dense_programme_is_told() -> None:
    described = racks([8.0, 8.0, 8.0], [1, 2, 3])
    thirsty = tuple(
        amplifier(a.name, eighth_power_w=a.eighth_power_w, third_power_w=known(40 * 230 * 0.65))
        for a in described.amplifiers
    )
    prediction = check(racks([8.0, 8.0, 8.0], [1, 2, 3], amplifiers=thirsty))
    assert prediction.draws[0].third_power_a == pytest.approx(40)
    found = finding(prediction, "phase")
    assert found.state == "tight" and "1/3 power" in found.sentence


def test_racks_on_one_socket_stay_together() -> None:
    circuit = Circuit("Socket 1", "Generator board", None, known(16))
    feeds = tuple(
        RackFeed(f"Rack {i}", "Generator board", circuit="Socket 1" if i < 2 else "")
        for i in range(4)
    )
    prediction = check(racks([6.0] * 4, circuits=(circuit,), rack_feeds=feeds))
    phases = {feed.rack: feed.phase for feed in prediction.feeds}
    assert phases["Rack 0"] == phases["Rack 1"]
    assert finding(prediction, "phase", "Socket 1").state == "holds"
    small = Circuit("Socket 1", "Generator board", 2, known(10))
    prediction = check(racks([6.0] * 4, circuits=(small,), rack_feeds=feeds))
    assert finding(prediction, "phase", "Socket 1").state == "fails"
    assert {f.phase for f in prediction.feeds if f.circuit} == {2}


@pytest.mark.parametrize(
    ("ohm_per_m", "length", "amps", "volts"),
    [
        (maximum_ohm_per_m(2.5, "5")[0], 30, 10, 4.788),
        (at_temperature(maximum_ohm_per_m(2.5, "5")[0], 70), 30, 10, 5.729),
        (1.98 / 304.8, 30.48, 16, 6.336),
    ],
)
def test_resistive_drop(ohm_per_m: float, length: float, amps: float, volts: float) -> None:
    """IEC 60228 class 5 at 20 and 70 degC; 12 AWG stranded by NEC table 8 (READ, MATH)."""
    assert 2 * ohm_per_m * length * amps == pytest.approx(volts, rel=1e-3)


def test_drop_by_annex_g() -> None:
    """Its copper lies between that of 20 and of 70 degC; a third phase halves the way (MATH)."""
    single = drop_v(10, 30, 2.5, cos_phi=1)
    assert 4.788 < single < 5.729
    assert single == pytest.approx(5.4)
    assert drop_v(10, 30, 2.5, cos_phi=1, three_phase=True) == pytest.approx(single / 2)
    # 0.0225 / 25 x 0.8 + 0.08e-3 x 0.6 ohm/m, there and back, 50 m, 63 A.
    assert drop_v(63, 50, 25) == pytest.approx(2 * 0.000768 * 50 * 63)


@pytest.mark.parametrize(
    ("length", "area", "generator", "state"),
    [
        (10, 2.5, False, "holds"),  # 1.8 V of 230 = 0.78 %
        (50, 2.5, False, "tight"),  # 3.9 %
        (70, 2.5, False, "fails"),  # 5.5 %
        (70, 2.5, True, "tight"),
        (120, 2.5, True, "fails"),  # 9.4 %
        (None, 2.5, False, "cannot check"),
        (10, None, False, "cannot check"),
    ],
)
def test_drop_to_a_rack(length, area, generator, state) -> None:
    supply = Supply("Board", 3, known(32), known(230), generator)
    feed = RackFeed("Rack 0", "Board", 1, maybe(length), maybe(area))
    prediction = check(racks([10.0], supply=supply, rack_feeds=(feed,)))
    found = finding(prediction, "volt_drop")
    assert found.state == state
    if length is not None and area is not None:
        assert found.value == pytest.approx(2 * 0.0225 * length / area * 10 / 230 * 100)


def test_the_per_cent_are_those_of_the_phase_voltage() -> None:
    """A 400 V board has 230 V between phase and neutral: the description holds the latter."""
    feed = RackFeed("Rack 0", "Generator board", 1, known(30), known(2.5))
    prediction = check(racks([10.0], rack_feeds=(feed,)))
    assert prediction.feeds[0].drop_share == pytest.approx(5.4 / 230)


def test_inrush_on_top_of_what_already_runs() -> None:
    """20 A each, idle 60 W at 230 V and 0.65: 0.4013 A; the third adds to two that idle."""
    prediction = check(racks([8.0] * 3, [1, 1, 1]))
    found = finding(prediction, "inrush")
    assert found.value == pytest.approx(20 + 2 * 60 / (230 * 0.65))
    assert found.limit == pytest.approx(96) and found.state == "holds"
    apart = check(racks([8.0] * 3, [1, 2, 3]))
    assert finding(apart, "inrush").value == pytest.approx(20)
    weak = Supply("Wall", 1, known(6), known(230), False)
    assert finding(check(racks([2.0], supply=weak)), "inrush").state == "tight"
    unknown = racks([8.0], [1], amplifiers=(amplifier("Amp 0", inrush_a=UNKNOWN),))
    assert finding(check(unknown), "inrush").state == "cannot check"


def test_several_supplies_need_a_word_about_each_rack() -> None:
    other = Supply("Wall", 1, known(16), known(230), False)
    prediction = check(racks([8.0, 8.0], supplies=(THREE_PHASE, other)))
    assert any("on which supply is not described" in text for text in prediction.unchecked)
    assert not [f for f in prediction.findings if f.check == "phase"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"rack_feeds": (RackFeed("Gone", "Generator board"),)}, "no rack and no amplifier place"),
        ({"rack_feeds": (RackFeed("Rack 0", "Gone"),)}, "no supply 'Gone'"),
        ({"rack_feeds": (RackFeed("Rack 0", "Generator board", 4),)}, "has 3 phases, not number 4"),
        ({"rack_feeds": (RackFeed("Rack 0", "Generator board"),) * 2}, "is there twice"),
        (
            {"rack_feeds": (RackFeed("Rack 0", "Generator board", circuit="Gone"),)},
            "no circuit 'Gone'",
        ),
        (
            {"rack_feeds": (RackFeed("Rack 0", "Generator board", area_mm2=known(0)),)},
            "area_mm2 must lie",
        ),
        ({"circuits": (Circuit("C", "Gone", 1, known(16)),)}, "no supply 'Gone'"),
        ({"circuits": (Circuit("C", "Generator board", 1, known(-16)),)}, "breaker_a must lie"),
        (
            {
                "circuits": (Circuit("C", "Generator board", 1, known(16)),),
                "rack_feeds": (RackFeed("Rack 0", "Generator board", 2, circuit="C"),),
            },
            "is on phase 1, not 2",
        ),
    ],
)
def test_plugging_that_cannot_be(changes, words: str) -> None:
    faults = validate(racks([8.0], **changes))
    assert any(words in fault for fault in faults), faults


@settings(deadline=None, max_examples=40)
@given(
    st.lists(
        st.tuples(st.none() | st.floats(0, 30), st.none() | st.integers(1, 3)),
        min_size=1,
        max_size=6,
    )
)
def test_nothing_is_ever_nan_and_unknown_never_holds(drawn) -> None:
    prediction = check(racks([a for a, _ in drawn], [p for _, p in drawn]))
    plain = json.loads(json.dumps(to_plain(prediction), allow_nan=False))
    assert prediction_from_plain(plain) == prediction
    if any(a is None for a, _ in drawn):
        assert finding(prediction, "phase").state in ("cannot check", "fails")
    else:
        total = sum(p.eighth_power_a for p in prediction.supplies[0].phases)
        assert total == pytest.approx(sum(a for a, _ in drawn))


def test_assumed_figures_are_told() -> None:
    supply = Supply("Board", 3, Figure(32.0, "assumed"), known(230), False)
    guess = amplifier("Amp 0", eighth_power_w=Figure(1000.0, "assumed"), inrush_a=known(20))
    prediction = check(racks([8.0], [1], supply, amplifiers=(guess,)))
    told = " ".join(finding(prediction, "phase").assumed)
    assert "Board: its current per phase (32) is assumed" in told
    assert "Amp 0: its mains power at 1/8 power (1000) is assumed" in told
    assert "1/8 power (1000) is assumed" in " ".join(finding(prediction, "supply").assumed)
    assert "Amp 0" not in " ".join(finding(prediction, "inrush").assumed)
