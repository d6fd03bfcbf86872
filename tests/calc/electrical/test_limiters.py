"""Limiter thresholds."""

import dataclasses
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.check import check_lines, validate
from calc.electrical.limiters import (
    limiter_times,
    peak_volts,
    programme_volts,
    rated_volts,
    rounded_down,
    thresholds,
)
from calc.figure import UNKNOWN
from calc.system import Choices
from tests.calc.builders import (
    amplifier,
    drive_line,
    known,
    loudspeaker,
    processor,
    system,
    way,
)


def test_published_case() -> None:
    """400 W into 8 ohm behind 32 dB: +5.270 dBu rms, 6.02 dB more peak, +11.290 (MATH)."""
    box = way(power=400, impedance=8, peak=1600)
    found = thresholds(rated_volts(box), peak_volts(box), 32, 0, None)
    assert found.rms_dbu == pytest.approx(5.270, abs=1e-3)
    assert found.peak_dbu == pytest.approx(11.290, abs=1e-3)


def test_level_control_raises_the_threshold() -> None:
    up, down = (thresholds(50, 100, 32, level, None) for level in (0, -6))
    assert down.rms_dbu - up.rms_dbu == pytest.approx(6)


def test_a_lower_peak_rating_counts() -> None:
    """Peak power 3 dB above the noise power: peak threshold 3 dB above rms."""
    box = way(power=400, peak=800)
    found = thresholds(rated_volts(box), peak_volts(box), 32, 0, None)
    assert found.peak_dbu - found.rms_dbu == pytest.approx(3.0103, abs=1e-3)
    assert peak_volts(way(power=400, peak=9000)) == peak_volts(way(power=400, peak=None))


@given(st.floats(-60, 40), st.sampled_from([0.1, 0.25, 0.5, 1.0, 3.0, 0.01]))
def test_rounding_never_exceeds(value: float, step: float) -> None:
    found = rounded_down(value, step)
    assert found <= value
    assert value - found < step * (1 + 1e-6)
    assert math.isclose(found / step, round(found / step), abs_tol=1e-5)


def test_unknown_step_and_unknown_rating() -> None:
    assert rounded_down(5.27, None) == 5.27
    assert rated_volts(way(power=None)) is None
    assert peak_volts(way(impedance=None)) is None


def line_of(**changes):
    (line,) = check_lines(system(**changes))
    return line


def limiter_of(line):
    return next(f for f in line.findings if f.check == "limiter")


@pytest.mark.parametrize(
    ("low_hz", "attack", "release"),
    [(80, 12, 192), (1000, 1.0, 16), (30, 33, 528), (10, 50, 800), (8000, 0.3, 4.8)],
)
def test_times_by_the_lowest_frequency(low_hz: float, attack: float, release: float) -> None:
    """One period (12.5, 1, 33.3 ms) rounded down, within 0.3 to 50 ms; release 16 times it."""
    found = limiter_times([way(low_hz=known(low_hz))])
    assert found.attack_ms == pytest.approx(attack) and found.release_ms == pytest.approx(release)


@given(st.floats(1, 20_000))
def test_attack_is_never_rounded_up(low_hz: float) -> None:
    attack = limiter_times([way(low_hz=known(low_hz))]).attack_ms
    assert attack is not None and attack <= max(0.3, 1000 / low_hz)
    assert attack > 0.9 * min(50, 1000 / low_hz)


def test_the_most_delicate_way_decides_the_times() -> None:
    ways = [way(low_hz=known(40)), way(low_hz=known(100))]
    assert limiter_times(ways).attack_ms == pytest.approx(10)
    assert limiter_times([*ways, way(low_hz=UNKNOWN)]).attack_ms is None
    assert limiter_times([way()], attack_ms=3.0).release_ms == pytest.approx(48)
    assert limiter_times([way(low_hz=UNKNOWN)], 3.0, 100.0).release_ms == 100


def test_times_reach_the_line_and_a_slow_choice_is_told() -> None:
    assert line_of().limiter_attack_ms == pytest.approx(12)
    slow = dataclasses.replace(drive_line(), attack_ms=80.0, release_ms=500.0)
    line = line_of(drive_lines=(slow,))
    assert (line.limiter_attack_ms, line.limiter_release_ms) == (80.0, 500.0)
    assert any("longer than the 12 ms of the rule" in text for text in limiter_of(line).assumed)


PROGRAMME = loudspeaker(ways=(way(programme_power_w=known(800)),))


def test_programme_power_only_by_name() -> None:
    """800 W programme against 400 W continuous: 3.01 dB more (MATH), at best tight."""
    plain = line_of(loudspeakers=(PROGRAMME,))
    assert plain.limiter_basis == "continuous"
    by_name = dataclasses.replace(drive_line(), limiter_basis="programme", limiter_basis_by="Robin")
    line = line_of(
        loudspeakers=(PROGRAMME,),
        drive_lines=(by_name,),
        processors=(processor(step=None),),
        amplifiers=(amplifier(ratings={8: 900}),),
    )
    exact = line_of(processors=(processor(step=None),)).limiter_rms_dbu
    assert line.limiter_rms_dbu == pytest.approx(exact + 3.0103, abs=1e-4)
    assert line.limiter_peak_dbu == pytest.approx(exact + 6.0206, abs=1e-4)
    assert limiter_of(line).state == "tight" and "Robin" in limiter_of(line).sentence
    nobody = dataclasses.replace(by_name, limiter_basis_by=" ")
    assert any("need the name" in fault for fault in validate(system(drive_lines=(nobody,))))
    event = Choices(limiter_basis="programme")
    assert any("need the name" in fault for fault in validate(system(choices=event)))


def test_a_line_goes_back_to_continuous_power_by_itself() -> None:
    event = Choices(cable_temperature_c=20.0, limiter_basis="programme", limiter_basis_by="Robin")
    back = dataclasses.replace(drive_line(), limiter_basis="continuous")
    described = {"loudspeakers": (PROGRAMME,), "choices": event}
    assert line_of(**described).limiter_basis == "programme"
    assert line_of(**described, drive_lines=(back,)).limiter_basis == "continuous"


def test_unknown_programme_power_is_no_setting() -> None:
    by_name = dataclasses.replace(drive_line(), limiter_basis="programme", limiter_basis_by="Robin")
    line = line_of(drive_lines=(by_name,))
    assert limiter_of(line).state == "cannot check" and line.limiter_rms_dbu is None
    assert "programme power of Top 1 (full) is unknown" in limiter_of(line).sentence


def test_programme_power_never_passes_the_peak_rating() -> None:
    wild = way(peak=900, programme_power_w=known(800))
    assert programme_volts(wild) == pytest.approx(math.sqrt(900 * 8 / 2))


def test_the_sentence_is_an_instruction() -> None:
    """Nobody said what is set: nothing may read as if it had been checked."""
    found = limiter_of(line_of())
    assert found.sentence.startswith("Line Left: Set 5.2 dBu rms and 11.2 dBu peak at")
    assert limiter_of(line_of(amplifiers=(amplifier(ratings={8: 200}),))).sentence.startswith(
        "Line Left: Set "
    )


@given(st.floats(10, 3000))
def test_no_shown_threshold_lies_above_the_computed_one(watts: float) -> None:
    line = line_of(
        loudspeakers=(loudspeaker(ways=(way(power=watts, peak=None),)),),
        processors=(processor(step=None),),
    )
    sentence = limiter_of(line).sentence
    rms, peak = (float(text) for text in re.findall(r"(-?[\d.]+) dBu", sentence)[:2])
    assert line.limiter_rms_dbu - 0.011 < rms <= line.limiter_rms_dbu + 1e-6
    assert line.limiter_peak_dbu - 0.011 < peak <= line.limiter_peak_dbu + 1e-6
