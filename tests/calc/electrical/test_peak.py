"""The amplifier's peaks against the boxes', and the programme's against the amplifier's."""

import dataclasses
import math

import pytest

from calc.check import check_lines
from calc.electrical.amplifiers import voltage_bounds
from calc.system import Choices, Rating
from tests.calc.builders import (
    amplifier,
    cable,
    drive_line,
    known,
    loudspeaker,
    system,
    way,
)


def line_of(**changes):
    (line,) = check_lines(system(**({"cables": (cable(length=0),)} | changes)))
    return line


def peak_of(line):
    return next(f for f in line.findings if f.check == "peak")


@pytest.mark.parametrize(
    ("watts", "margin", "state"),
    [
        (800, 0.0, "holds"),  # twice 400 W: its sine's peak is the peak of 6 dB noise
        (1600, 3.0103, "tight"),
        (3200, 6.0206, "tight"),
        (3300, 6.1542, "fails"),
        (400, -3.0103, "holds"),
    ],
)
def test_sine_of_twice_the_noise_rating_peaks_where_the_noise_does(watts, margin, state) -> None:
    """1000 W into 8 ohm are 89.4427 V rms and 126.491 V peak (MATH): the same way here."""
    line = line_of(amplifiers=(amplifier(ratings={8: watts}),))
    assert line.peak_margin_db == pytest.approx(margin, abs=1e-3)
    assert peak_of(line).state == state


def test_a_stated_peak_counts_and_doubles_in_bridge() -> None:
    strong = amplifier(ratings={8: 400, 4: 700}, peak_v=known(120), bridged_minimum=8)
    line = line_of(amplifiers=(strong,))
    box_peak = math.sqrt(1600 * 8)
    assert line.peak_margin_db == pytest.approx(20 * math.log10(120 / box_peak))
    pair = line_of(amplifiers=(strong,), drive_lines=(drive_line(mode="bridged"),))
    assert pair.peak_margin_db == pytest.approx(20 * math.log10(240 / box_peak))
    assert any("stated on its sheet" in step for step in peak_of(line).working)


def test_an_unstated_peak_rating_is_named_as_assumed() -> None:
    line = line_of(loudspeakers=(loudspeaker(ways=(way(peak=None),)),))
    assert any("four times its noise power" in text for text in peak_of(line).assumed)
    lower = line_of(loudspeakers=(loudspeaker(ways=(way(peak=500),)),))
    assert peak_of(lower).state == "tight"


@pytest.mark.parametrize("crest", [6.0, 12.0, 18.0])
def test_headroom_at_the_events_crest_factor(crest: float) -> None:
    """800 W of sine on a 400 W box: its peaks lie 6.02 dB above the rated rms volts (MATH)."""
    line = line_of(
        amplifiers=(amplifier(ratings={8: 800}),),
        choices=Choices(cable_temperature_c=20.0, crest_factor_db=crest),
    )
    assert line.crest_headroom_db == pytest.approx(6.0206 - crest, abs=1e-3)
    headroom = next(f for f in line.findings if f.check == "headroom")
    assert any(f"{crest:g} dB crest factor" in step for step in headroom.working)


def test_one_eighth_power_is_where_peaks_just_clip_at_12_041_db() -> None:
    """1/8 power lies 9.031 dB below a sine's, peaks 12.041 dB above the mean (MATH)."""
    line = line_of(
        amplifiers=(amplifier(ratings={8: 800}),),
        choices=Choices(cable_temperature_c=20.0, crest_factor_db=12.041),
    )
    power = next(f for f in line.findings if f.check == "power")
    assert any("mean power of 100 W" in step for step in power.working)


def test_the_rating_basis_is_named() -> None:
    sheet = amplifier()
    assert (
        "not stated, read as a continuous sine" in voltage_bounds(sheet, "per channel", 8).working
    )
    burst = dataclasses.replace(sheet, ratings=(Rating("per channel", 8.0, known(400), "burst"),))
    found = voltage_bounds(burst, "per channel", 8)
    assert "a burst" in found.working and "a long tone gives less" in found.assumed[0]
    assert any("burst" in text for text in peak_of(line_of(amplifiers=(burst,))).assumed)


def test_unknown_stays_unknown() -> None:
    line = line_of(loudspeakers=(loudspeaker(ways=(way(power=None, peak=None),)),))
    assert line.peak_margin_db is None and line.crest_headroom_db is None
    assert peak_of(line).state == "cannot check"
