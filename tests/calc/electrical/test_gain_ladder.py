"""The gain ladder: who clips first, where the level control lines up, how loud the hiss is."""

import dataclasses
import json
import math

import pytest

from calc.acoustics.nearest import nearest_ear_m
from calc.check import check, check_lines
from calc.electrical.gain import dbu
from calc.serialise import to_plain
from calc.system import AmplifierPlace, MixerSheet
from tests.calc.builders import (
    amplifier,
    area,
    boxes_on_one_line,
    drive_line,
    known,
    loudspeaker,
    output,
    placement,
    processor,
    system,
    way,
)

PROCESSOR = dataclasses.replace(
    processor(top=20), max_input_dbu=known(22), output_noise_dbu=known(-85)
)
MIXER = MixerSheet("Desk", known(24), known(-80))


def chain(processor_gain: float | None = 0.0, level_control: float = 0.0, **changes):
    """Mixer +24 dBu, processor +22 / +20 dBu, 800 W at 8 ohm behind 32 dB, a 400 W box."""
    line = dataclasses.replace(
        drive_line(level_control=level_control),
        nearest_listener_m=2.0,
    )
    plain = {
        "mixer": MIXER,
        "processors": (PROCESSOR,),
        "amplifiers": (
            amplifier(ratings={8: 800}, input_clip_dbu=known(21), output_noise_dbu=known(-70)),
        ),
        "drive_lines": (line,),
        "outputs": (output(gain=processor_gain),),
    }
    return system(**(plain | changes))


def ladder_of(described):
    (line,) = check_lines(described)
    assert line.ladder is not None
    return line.ladder


def test_each_stage_seen_from_the_processors_output() -> None:
    """80 V at the amplifier are 40.28 dBu; less 32 dB of gain +8.28 dBu at its input (MATH)."""
    ladder = ladder_of(chain(processor_gain=-4))
    clips = {stage.name: stage.clip_at_reference_dbu for stage in ladder.stages}
    assert clips == pytest.approx(
        {
            "mixer": 20.0,
            "processor input": 18.0,
            "processor output": 20.0,
            "amplifier input": 21.0,
            "amplifier output": 8.28,
            "box": 8.28,
        },
        abs=5e-3,
    )
    assert ladder.unknown == ()


def test_the_first_to_clip_moves_with_the_level_control() -> None:
    up = ladder_of(chain(amplifiers=(amplifier(ratings={8: 500}, input_clip_dbu=known(21)),)))
    assert up.first_to_clip == up.first_known_to_clip == "amplifier output"
    down = ladder_of(chain(level_control=-20))
    assert down.first_to_clip == "processor output"


def test_aligned_level_control_makes_both_clip_together() -> None:
    aligned = ladder_of(chain()).aligned_level_control_db
    assert aligned == pytest.approx(dbu(80) - 32 - 20)
    again = ladder_of(chain(level_control=aligned))
    clips = {stage.name: stage.clip_at_reference_dbu for stage in again.stages}
    assert clips["processor output"] == pytest.approx(clips["amplifier output"])
    assert any("well placed" in text for text in again.sentences)


def test_an_amplifier_that_the_processor_cannot_reach_is_told() -> None:
    weak = ladder_of(chain(amplifiers=(amplifier(ratings={8: 8000}, gain_db=known(20)),)))
    assert weak.aligned_level_control_db is not None and weak.aligned_level_control_db > 0
    assert any("before the amplifier even with" in text for text in weak.sentences)


def test_sensitivity_and_gain_give_the_same_ladder() -> None:
    """800 W into 8 ohm at 2 V: 80 V / 2 V = 32.04 dB."""
    by_sensitivity = amplifier(
        ratings={8: 800},
        gain_db=known(32.0412),
        input_clip_dbu=known(21),
        output_noise_dbu=known(-70),
    )
    by_gain = dataclasses.replace(
        by_sensitivity,
        gain_db=amplifier(gain_db=known(1)).sensitivity_v,
        sensitivity_v=known(2.0),
        sensitivity_load_ohm=known(8),
    )
    first, second = (ladder_of(chain(amplifiers=(a,))) for a in (by_sensitivity, by_gain))
    for one, other in zip(first.stages, second.stages, strict=True):
        assert one.clip_at_reference_dbu == pytest.approx(other.clip_at_reference_dbu, abs=1e-3)


def test_the_gain_that_is_set_counts_before_the_sheets() -> None:
    (plain,) = check_lines(chain())
    place = AmplifierPlace("Rack 1 A", "Rack 1", "Amp", gain_db=26.0)
    (turned,) = check_lines(chain(amplifier_places=(place,)))
    assert turned.gain_db == 26.0
    assert turned.limiter_rms_dbu == pytest.approx(plain.limiter_rms_dbu + 6)


def hiss_of(*noises_dbu: float) -> float:
    """SPL at 2 m: volts squared on 8 ohm as watts, 97 dB for one of them at 1 m."""
    watts = sum(0.6 * 10 ** (noise / 10) for noise in noises_dbu) / 8
    return 97 + 10 * math.log10(watts) - 20 * math.log10(2)


def test_hiss_at_the_nearest_listener() -> None:
    """-80 + 32, -85 + 32 and -70 dBu at the amplifier; 97 dB for 1 W in 8 ohm; 2 m (MATH)."""
    ladder = ladder_of(chain())
    wanted = hiss_of(-48, -53, -70)
    assert ladder.hiss_db == pytest.approx(wanted, abs=1e-6)
    assert ladder.hiss_at_least_db == pytest.approx(wanted, abs=1e-6)
    assert ladder.hiss_distance_m == 2.0
    # The level control turns down what comes in, not the amplifier's own noise.
    turned = ladder_of(chain(level_control=-10)).hiss_db
    assert turned == pytest.approx(hiss_of(-58, -63, -70), abs=1e-6)


def test_two_boxes_hiss_three_decibels_louder() -> None:
    one = ladder_of(chain()).hiss_db
    lines = boxes_on_one_line(2).drive_lines
    links, placed = lines[0].links, boxes_on_one_line(2).placements
    described = chain(placements=placed)
    both = dataclasses.replace(described.drive_lines[0], links=links)
    two = ladder_of(dataclasses.replace(described, drive_lines=(both,))).hiss_db
    assert two == pytest.approx(one + 3.0103, abs=1e-3)


def test_unknown_stays_unknown() -> None:
    bare = ladder_of(system())
    assert bare.hiss_db is None and bare.hiss_at_least_db is None and bare.first_to_clip == ""
    assert "the mixer" in bare.unknown
    assert any("input clip level and output noise of 'Amp'" in text for text in bare.unknown)
    no_mixer = ladder_of(chain(mixer=None))
    assert no_mixer.hiss_db is None and no_mixer.hiss_at_least_db is not None
    assert no_mixer.first_to_clip == "" and no_mixer.first_known_to_clip != ""
    no_gain = ladder_of(chain(processor_gain=None))
    assert no_gain.stages[0].clip_at_reference_dbu is None and no_gain.hiss_db is None
    nobody = dataclasses.replace(drive_line(), processor="", amplifier="", output=None)
    assert check_lines(system(drive_lines=(nobody,)))[0].ladder is None


def test_without_sensitivity_no_hiss() -> None:
    silent = loudspeaker(ways=(way(sensitivity=None),))
    ladder = ladder_of(chain(loudspeakers=(silent,)))
    assert ladder.hiss_db is None and "the sensitivity of Top 1 (full)" in ladder.unknown


def test_nearest_ear() -> None:
    """3 m ahead, 0.9 m down from a box at 2.5 m to ears at 1.6; straight down from inside."""
    assert nearest_ear_m(placement(), [area()]) == pytest.approx(math.hypot(3, 0.9))
    assert nearest_ear_m(placement(y_m=8.0, z_m=6.0), [area()]) == pytest.approx(4.4)
    assert nearest_ear_m(placement(), []) is None
    # 12 m of floor that rises by 10 degrees lift the back row by 2.116 m.
    behind = nearest_ear_m(placement(y_m=16.0), [area(rake_deg=10.0)])
    assert behind == pytest.approx(math.hypot(1, 1.6 + 2.116 - 2.5), abs=1e-3)


def test_the_areas_give_the_distance_when_nobody_does() -> None:
    described = chain()
    line = dataclasses.replace(described.drive_lines[0], nearest_listener_m=None)
    prediction = check(dataclasses.replace(described, drive_lines=(line,)))
    assert prediction.lines[0].ladder.hiss_distance_m == pytest.approx(math.hypot(3, 0.9))
    assert json.dumps(to_plain(prediction), allow_nan=False)
