"""The electrical traps of the trade, through the one door `check`."""

import dataclasses

import pytest

from calc.check import check, check_lines
from calc.electrical.gain import dbu, volts_of_dbu
from calc.figure import UNKNOWN
from calc.prediction import Finding, LineResult
from calc.system import AmplifierPlace, Choices, RackFeed, Supply, SystemDescription
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    cable,
    drive_line,
    known,
    link,
    loudspeaker,
    placement,
    processor,
    system,
    way,
)


def line_of(described: SystemDescription) -> LineResult:
    (line,) = check(described).lines
    return line


def finding(line: LineResult, check_name: str) -> Finding:
    (found,) = (f for f in line.findings if f.check == check_name)
    return found


def bridged(count: int) -> SystemDescription:
    described = boxes_on_one_line(count)
    lines = tuple(dataclasses.replace(d, mode="bridged") for d in described.drive_lines)
    return dataclasses.replace(described, drive_lines=lines)


def test_bridge_onto_two_boxes_is_refused() -> None:
    """700 W at 4 ohm, minimum 4 ohm, bridged onto 2 x 8 ohm: each channel sees 2 ohm."""
    line = line_of(bridged(2))
    found = finding(line, "load")
    assert found.state == "fails" and line.state == "fails"
    assert line.channel_rated_load_ohm == pytest.approx(2)
    assert found.value == pytest.approx(4) and found.limit == pytest.approx(8)
    assert "2 ohm a channel, this amplifier needs 4" in found.sentence
    assert line.channels == (1, 2)


def test_bridge_onto_one_box() -> None:
    """The bridge is 8 ohm minimum, 105.8 V, 1400 W."""
    line = line_of(bridged(1))
    assert finding(line, "load").state == "holds"
    assert line.amplifier_minimum_ohm == pytest.approx(8)
    assert line.voltage_low_v == pytest.approx(105.8, abs=0.05)
    assert line.power_low_w == pytest.approx(1400)


def thin(count: int, area: float, nominal: bool = False) -> SystemDescription:
    """Boxes side by side at the end of 60 m of cable."""
    names = [f"Top {i + 1}" for i in range(count)]
    links = tuple(link(n, "Long" if i == 0 else "Jumper", i == 0) for i, n in enumerate(names))
    return boxes_on_one_line(
        count,
        cables=(cable("Long", area, 60), cable("Jumper", 2.5, 0)),
        drive_lines=(drive_line(links=links),),
        amplifiers=(amplifier(ratings={8: 800, 4: 1400, 2: 2000}, minimum=2),),
        loudspeakers=(loudspeaker(ways=(way(minimum=None),)),),
        choices=Choices(
            cable_temperature_c=20.0, conductor_resistance="nominal" if nominal else "maximum"
        ),
    )


@pytest.mark.parametrize(("nominal", "loss"), [(True, 3.6), (False, 4.1)])
def test_thin_cable(nominal: bool, loss: float) -> None:
    """3 x 8 ohm, 60 m of 1.5 mm2: 1.38 to 1.60 ohm, -3.6 to -4.1 dB, damping under 2."""
    line = line_of(thin(3, 1.5, nominal))
    assert line.worst_cable_loss_db == pytest.approx(loss, abs=0.05)
    assert line.worst_damping_factor is not None and line.worst_damping_factor < 2
    assert line.minimum_load_ohm == pytest.approx(2.13, abs=0.005)
    assert finding(line, "cable_loss").state == "fails"
    assert finding(line, "damping").state == "fails"


def test_single_box_on_the_thin_and_on_a_thicker_cable() -> None:
    """A single 8 ohm box: still -1.6 dB; 4 mm2: -0.6 dB."""
    assert line_of(thin(1, 1.5)).worst_cable_loss_db == pytest.approx(1.6, abs=0.05)
    thicker = line_of(thin(1, 4))
    assert thicker.worst_cable_loss_db == pytest.approx(0.6, abs=0.05)
    assert finding(thicker, "cable_loss").state == "tight"


def limited(**changes) -> SystemDescription:
    return system(processors=(processor(step=None, top=None),), **changes)


def swapped_amplifier():
    """0.775 V for 120 V: 1800 W into 8 ohm."""
    return amplifier(
        ratings={8: 1800},
        gain_db=UNKNOWN,
        sensitivity_v=known(0.775),
        sensitivity_load_ohm=known(8),
    )


def test_limiter_belongs_to_its_amplifier() -> None:
    """400 W at 8 ohm, 32 dB: +5.3 dBu. Amplifier of 43.8 dB: -6.5 dBu, 11.8 dB lower."""
    first = line_of(limited())
    assert first.rated_voltage_v == pytest.approx(56.6, abs=0.05)
    assert first.limiter_rms_dbu == pytest.approx(5.3, abs=0.05)
    second = line_of(limited(amplifiers=(swapped_amplifier(),)))
    assert second.gain_db == pytest.approx(43.8, abs=0.05)
    assert second.limiter_rms_dbu == pytest.approx(-6.5, abs=0.05)
    # The old setting behind the new gain asks for 220 V, beyond the amplifier's 120 V.
    assert volts_of_dbu(first.limiter_rms_dbu + second.gain_db) == pytest.approx(220, abs=1)
    assert second.voltage_high_v == pytest.approx(120, abs=0.05)


def test_bridging_shifts_the_limiter_by_its_extra_gain() -> None:
    single = line_of(limited())
    pair = line_of(limited(drive_lines=(drive_line(mode="bridged"),)))
    assert single.limiter_rms_dbu - pair.limiter_rms_dbu == pytest.approx(6)


def test_limiter_is_rounded_down_to_the_processors_step() -> None:
    line = line_of(system(processors=(processor(step=0.5),)))
    assert line.limiter_rms_dbu == pytest.approx(5.0)
    assert line.limiter_peak_dbu == pytest.approx(11.0)


def test_amplifier_that_clips_before_the_limiter_acts_is_told() -> None:
    line = line_of(system(amplifiers=(amplifier(ratings={8: 200}),)))
    found = finding(line, "limiter")
    assert found.state == "tight"
    assert "clips at 40 V before the limiter acts at 56.57 V" in found.sentence


def test_processor_that_cannot_reach_the_threshold_is_told() -> None:
    """+5.27 dBu and 14 dB of level control are 19.3 dBu; this output ends at 16."""
    line = line_of(
        system(processors=(processor(top=16),), drive_lines=(drive_line(level_control=-14),))
    )
    found = finding(line, "limiter")
    assert line.limiter_rms_dbu == pytest.approx(19.2)
    assert found.state == "tight" and "ends at 16.0 dBu" in found.sentence
    assert found.limit is not None and dbu(volts_of_dbu(found.limit)) < found.value


def swapped_box() -> SystemDescription:
    """Two 8 ohm boxes on 1000 W at 4 ohm; one becomes a 4 ohm box of 450 W."""
    guest = loudspeaker(
        "Guest",
        ways=(way(impedance=4, minimum=None, power=450, peak=1800, sensitivity_basis="2.83 V"),),
    )
    return boxes_on_one_line(
        2,
        loudspeakers=(loudspeaker(), guest),
        placements=(placement("Top 1"), placement("Top 2", "Guest", x_m=1.0)),
        amplifiers=(amplifier(ratings={8: 600, 4: 1000, 2: 1600}),),
    )


def test_swapped_box_is_caught() -> None:
    """Load 2.67 ohm, below minimum; the 450 W box is offered 1000 W and decides the limiter."""
    line = line_of(swapped_box())
    load, power = finding(line, "load"), finding(line, "power")
    assert line.rated_load_ohm == pytest.approx(2.67, abs=0.005)
    assert load.state == "fails"
    # 63.2 V on 4 ohm: 1000 W, 2.2 times its 450 W.
    assert line.voltage_high_v == pytest.approx(63.2, abs=0.05)
    assert power.state == "tight" and power.value == pytest.approx(1000 / 450, abs=0.01)
    assert line.rated_voltage_v == pytest.approx(42.4, abs=0.05)


def test_swapped_box_without_a_rating_at_that_load_is_not_passed() -> None:
    described = dataclasses.replace(swapped_box(), amplifiers=(amplifier(),))
    line = line_of(described)
    assert finding(line, "power").state == "cannot check"
    assert finding(line, "headroom").state == "cannot check"


def test_lines_alone_are_the_same_lines() -> None:
    described = swapped_box()
    assert check_lines(described) == check(described).lines


def test_generator_plugged_five_three_two() -> None:
    """Ten amplifiers, 8 A each, three-phase 32 A: 26.7 A on average, plugged 40/24/16 A."""
    plugs = [1] * 5 + [2] * 3 + [3] * 2
    places = tuple(AmplifierPlace(f"Amp {i}", f"Rack {i}", "Amp") for i in range(10))
    prediction = check(
        system(
            amplifiers=(amplifier(eighth_power_w=known(8 * 230 * 0.65)),),
            amplifier_places=places,
            drive_lines=(drive_line(amplifier_place="Amp 0"),),
            supplies=(Supply("Board", 3, known(32), known(230), False),),
            rack_feeds=tuple(RackFeed(f"Rack {i}", "Board", p) for i, p in enumerate(plugs)),
        )
    )
    (table,) = prediction.supplies
    assert [p.eighth_power_a for p in table.phases] == pytest.approx([40, 24, 16])
    assert sum(p.eighth_power_a for p in table.phases) / 3 == pytest.approx(26.7, abs=0.05)
    (found,) = (f for f in prediction.findings if f.check == "phase")
    assert found.state == "fails" and found.value == pytest.approx(40)
    assert any("Neutral" in step for step in found.working)
    assert any(f.check == "inrush" for f in prediction.findings)
    assert any("never lift an earth" in text for text in prediction.cautions)
