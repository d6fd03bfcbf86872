"""What a processor is told to be set to, and what of the wishes it cannot do."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.check import check, check_lines
from calc.figure import UNKNOWN
from calc.lookup import Lookup
from calc.signals.dial_in import dial_in_sheets, output_sheet
from calc.signals.dial_in.dials import half_step
from calc.system import AmplifierPlace, Dial, Filter, Slope
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    drive_line,
    known,
    link,
    loudspeaker,
    output,
    processor,
    system,
    way,
)
from tests.calc.signals.two_way import passes, two_way, ways

ABLE = {
    "filters_per_output": 4,
    "kinds": ("high-pass", "low-pass", "peak", "low shelf", "high shelf", "all-pass", "notch"),
    "slopes": tuple(Slope("Linkwitz-Riley", n) for n in (2, 4, 8))
    + tuple(Slope("Butterworth", n) for n in range(1, 5)),
    "bessel_corner": "-3 dB",
    "mixes_inputs": False,
    "sampling_hz": known(96_000),
    "gain_db": Dial(-40.0, 12.0, 0.1),
    "delay_ms": Dial(0.0, 600.0, 0.02),
    "pass_hz": Dial(20.0, 20_000.0, 24, "steps per octave"),
    "filter_hz": Dial(20.0, 20_000.0, 24, "steps per octave"),
    "filter_gain_db": Dial(-15.0, 12.0, 0.5),
    "filter_q": Dial(0.4, 20.0, 0.1),
    "limiter_dbu": Dial(-10.0, 20.0, 0.5),
    "attack_ms": Dial(0.5, 100.0, 0.5),
    "release_ms": Dial(10.0, 2000.0, 10.0),
}
UNIT = processor(**ABLE)


def sheet_of(described):
    return dial_in_sheets(described, Lookup.of(described), check_lines(described))[0]


def entries_of(part, unit=UNIT, **changes):
    """Entries by key of one output that feeds one full-range box."""
    found = sheet_of(system(processors=(unit,), outputs=(part,), **changes)).outputs[0]
    return {entry.key: entry for entry in found.entries}


def fit_of(described):
    return next(f for f in check(described).findings if f.check == "fits_processor")


def test_an_output_in_the_order_of_entering() -> None:
    part = output(
        gain=-3.24,
        delay_ms=7.253,
        inverted=True,
        filters=(
            Filter("peak", 250.0, gain_db=-3.2, q=2.04),
            Filter("high-pass", 90.0, "Linkwitz-Riley", 4),
            Filter("low-pass", 12_000.0, "Butterworth", 2),
        ),
    )
    found = entries_of(part)
    keys = ["inputs", "gain", "delay", "polarity", "high-pass", "low-pass", "filter 1", "limiter"]
    assert list(found) == keys
    words = {key: [value.words for value in entry.values] for key, entry in found.items()}
    assert words["inputs"] == ["input 1"]
    assert words["gain"] == ["-3.2 dB"] and found["gain"].values[0].wanted == -3.24
    assert words["delay"] == ["7.26 ms"]
    assert words["polarity"] == ["inverted"]
    assert found["high-pass"].title == "High-pass, Linkwitz-Riley 24 dB/octave"
    assert words["filter 1"] == ["250 Hz", "-3.0 dB", "2.0"]
    assert [value.name for value in found["filter 1"].values] == ["frequency", "gain", "Q"]
    assert [value.name for value in found["limiter"].values] == ["rms", "peak", "attack", "release"]
    assert all(entry.fits for entry in found.values())


@pytest.mark.parametrize(
    ("part", "key", "words"),
    [
        (output(gain=15.0), "gain", "It ends at 12.0 dB"),
        (output(delay_ms=900.0), "delay", "It ends at 600.00 ms"),
        (output(inputs=(1, 2)), "inputs", "the best is input 1 alone"),
        (
            output(filters=(Filter("high-pass", 90.0, "Bessel", 3),)),
            "high-pass",
            "no Bessel 18 dB/octave: the best that it does is Butterworth 18 dB/octave",
        ),
        (
            output(filters=(Filter("high-pass", 90.0, "Linkwitz-Riley", 6),)),
            "high-pass",
            "the best that it does is Linkwitz-Riley 48 dB/octave",
        ),
        (
            output(filters=(Filter("peak", 250.0, gain_db=14.0, q=1.0),)),
            "filter 1",
            "gain ends at +12.0 dB",
        ),
        (
            output(filters=(Filter("peak", 250.0, gain_db=1.0, q=30.0),)),
            "filter 1",
            "Q ends at 20.0",
        ),
    ],
)
def test_what_does_not_fit_is_said_with_the_best_that_does(part, key, words) -> None:
    found = entries_of(part)
    assert not found[key].fits and words in found[key].note
    assert sum(not entry.fits for entry in found.values()) == 1
    described = system(processors=(UNIT,), outputs=(part,))
    assert fit_of(described).state == "fails"


def test_a_kind_that_it_does_not_have() -> None:
    unit = processor(**(ABLE | {"kinds": ("high-pass", "low-pass", "peak")}))
    found = entries_of(output(filters=(Filter("notch", 400.0, q=8.0),)), unit)["filter 1"]
    assert not found.fits and found.values[0].entered is None
    assert "It has no notch" in found.note and "Without it the level is off" in found.note


def test_too_many_filters_lose_those_that_do_least() -> None:
    gains = (6.0, 0.5, -5.0, 4.0, -0.8, 3.0)
    filters = tuple(
        Filter("peak", 200.0 * 2**n, gain_db=gain, q=2.0) for n, gain in enumerate(gains)
    )
    found = entries_of(output(filters=filters))
    assert [key for key, entry in found.items() if not entry.fits] == ["filter 2", "filter 5"]
    assert "It has 4 for an output: left out." in found["filter 2"].note
    assert "off by up to 0.5 dB" in found["filter 2"].note
    told = fit_of(system(processors=(UNIT,), outputs=(output(filters=filters),)))
    assert (told.state, told.value, told.limit, told.unit) == ("fails", 2.0, 0.0, "settings")
    assert "Peak 400 Hz of output 1 and Peak 3.2 kHz of output 1" in told.sentence


def test_a_protective_corner_is_never_put_below_what_is_allowed() -> None:
    """1000 x 2^(-1/24 x 0.4) rounds to 1 kHz; just above a setting, it would round down."""
    just_above = 1000 * 2 ** (0.2 / 24)
    part = passes(high=just_above)[1]
    for demand, wanted in (
        ({"least_high_pass_hz": known(just_above)}, 1000 * 2 ** (1 / 24)),
        ({"least_high_pass_hz": known(900)}, 1000.0),
        ({}, 1000 * 2 ** (1 / 24)),  # nobody knows what it bears
        ({"least_high_pass_hz": known(0)}, 1000.0),
    ):
        described = two_way(
            (output(1, filters=passes()[:1]), output(2, filters=(part,))),
            of_ways=ways({}, demand),
            processors=(UNIT,),
        )
        entries = {entry.key: entry for entry in sheet_of(described).outputs[1].entries}
        assert entries["high-pass"].values[0].entered == pytest.approx(wanted)


def test_a_limiter_takes_the_lowest_of_its_lines_and_never_more() -> None:
    described = two_way(processors=(UNIT,))
    lines = check_lines(described)
    values = {v.name: v for v in sheet_of(described).outputs[0].entries[-1].values}
    assert values["rms"].entered <= lines[0].limiter_rms_dbu
    assert values["attack"].entered <= lines[0].limiter_attack_ms
    assert values["release"].entered >= lines[0].limiter_release_ms
    deaf = processor(**(ABLE | {"limiter_dbu": Dial(15.0, 20.0, 0.5)}))
    entry = sheet_of(dataclasses.replace(described, processors=(deaf,))).outputs[0].entries[-1]
    assert not entry.fits and "no setting protects as well" in entry.note
    high = processor(**(ABLE | {"limiter_dbu": Dial(-20.0, 0.0, 0.5)}))
    entry = sheet_of(dataclasses.replace(described, processors=(high,))).outputs[0].entries[-1]
    assert entry.fits and entry.values[0].entered == 0.0


def test_unknown_abilities_leave_figures_alone_and_say_so() -> None:
    described = system(outputs=(output(gain=-3.234, filters=passes()[1:]),))
    sheet = sheet_of(described)
    gain = sheet.outputs[0].entries[1].values[0]
    assert gain.entered == gain.wanted == -3.234
    assert sheet.outputs[0].rounding_db is None
    assert any("are unknown for" in remark for remark in sheet.remarks)
    assert fit_of(described).state == "cannot check"


def test_rounding_is_told_in_db_and_degrees() -> None:
    """0.04 dB of gain and 0.006 ms of delay: at 16 kHz 34.6 degrees (MATH)."""
    part = output(gain=-3.24, delay_ms=7.254)
    sheet = sheet_of(system(processors=(UNIT,), outputs=(part,))).outputs[0]
    assert sheet.rounding_db == pytest.approx(0.04, abs=1e-6)
    assert sheet.rounding_deg == pytest.approx(360 * 16_000 * 6e-6, abs=0.1)
    assert sheet.band_hz == (80.0, 16_000.0)


def test_what_a_figure_was_rounded_from_is_told_in_full() -> None:
    entry = entries_of(output(delay_ms=7.2567), UNIT)["delay"]
    assert entry.note == "Rounded from 7.2567 ms."
    assert entry.values[0].words != "7.2567 ms"


def test_a_coarse_dial_never_rounds_to_nothing() -> None:
    """A Q of 1 on a dial in steps of 3 that nobody gave a least one: 3, not 0."""
    unit = processor(**(ABLE | {"filter_q": Dial(step=3.0), "filter_hz": Dial(step=50.0)}))
    entry = entries_of(output(filters=(Filter("peak", 20.0, gain_db=1.0, q=1.0),)), unit)[
        "filter 1"
    ]
    assert (
        not entry.fits and "Q ends at 3" in entry.note and "frequency ends at 50 Hz" in entry.note
    )


def test_nothing_is_rounded_to_half_the_sampling_rate_or_beyond() -> None:
    """21.9 kHz at 44.1 kHz on steps of 1.5 kHz: 22.5 kHz cannot be, 21 kHz is entered."""
    unit = processor(**(ABLE | {"filter_hz": Dial(step=1500.0), "sampling_hz": known(44_100)}))
    part = output(filters=(Filter("peak", 21_900.0, gain_db=1.0, q=1.0),))
    assert entries_of(part, unit)["filter 1"].values[0].entered == 21_000.0


def test_inputs_that_play_together_are_named() -> None:
    unit = processor(**(ABLE | {"mixes_inputs": True}))
    described = system(processors=(unit,), outputs=(output(1, inputs=(2, 1)), output(2)))
    assert sheet_of(described).linked == "inputs 1 and 2 together"
    assert sheet_of(system()).linked == ""


def test_forty_outputs_on_a_unit_of_eight() -> None:
    """`validate` refuses them; a sheet that is asked for all the same fits none beyond."""
    eight = dataclasses.replace(UNIT, outputs=8)
    described = system(processors=(eight,), outputs=(output(40),))
    lookup = Lookup.of(described)
    (found,) = [output_sheet(described, lookup, (), part) for part in described.outputs]
    assert not any(entry.fits for entry in found.entries)
    assert "It has 8 outputs: there is no output 40." in found.entries[0].note


def test_an_output_that_a_line_hangs_on_and_nobody_described() -> None:
    sheet = sheet_of(system(processors=(UNIT,)))
    (found,) = sheet.outputs
    assert (found.output, found.lines, found.boxes) == (1, ("Left",), ("Top 1",))
    assert "Nobody said what output 1 is set to." in sheet.remarks


dials = st.sampled_from([0.1, 0.25, 0.5, 1.0])
per_octave = st.sampled_from([3, 6, 12, 24, 48])


@st.composite
def settings_of(draw):
    """Anything that somebody may wish for, and a processor of any coarseness."""
    step = draw(dials)
    octave = Dial(20.0, 20_000.0, draw(per_octave), "steps per octave")
    unit = processor(
        **(
            ABLE
            | {
                "gain_db": Dial(-40.0, 12.0, step),
                "delay_ms": Dial(0.0, 600.0, draw(st.sampled_from([0.01, 0.02, 1 / 48, 0.1]))),
                "pass_hz": octave,
                "filter_hz": octave,
                "filter_gain_db": Dial(-15.0, 15.0, step),
                "filter_q": Dial(0.4, 20.0, draw(dials)),
                "limiter_dbu": Dial(-30.0, 20.0, step),
            }
        )
    )
    hz = st.floats(25, 15_000)
    peak = st.builds(
        lambda f, g, q: Filter("peak", f, gain_db=g, q=q),
        hz, st.floats(-14, 14), st.floats(0.5, 19),
    )  # fmt: skip
    part = output(
        gain=draw(st.floats(-39, 11)),
        delay_ms=draw(st.floats(0, 590)),
        inverted=draw(st.booleans()),
        filters=(
            Filter("high-pass", draw(hz), "Linkwitz-Riley", 4),
            *draw(st.lists(peak, max_size=4)),
        ),
    )
    least = draw(st.none() | st.floats(20, 2000))
    box = way(
        least_high_pass_hz=known(least or 0.0),
        least_high_pass_order=4,
        power=draw(st.floats(50, 2000)),
        peak=None,
    )
    return system(processors=(unit,), outputs=(part,), loudspeakers=(loudspeaker(ways=(box,)),))


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(settings_of())
def test_within_half_a_step_and_never_less_safe(described) -> None:
    part, can = described.outputs[0], described.processors[0].abilities
    lines = check_lines(described)
    least = described.loudspeakers[0].ways[0].least_high_pass_hz.value
    for entry in sheet_of(described).outputs[0].entries:
        assert entry.fits
        for value in entry.values:
            assert value.entered is not None
            if entry.key == "limiter":
                assert value.name in ("attack", "release") or value.entered <= value.wanted + 1e-9
                continue
            dial = {
                "gain": can.gain_db, "delay": can.delay_ms, "high-pass": can.pass_hz,
                "inputs": Dial(), "polarity": Dial(),
            }.get(entry.key) or {
                "frequency": can.filter_hz, "gain": can.filter_gain_db, "Q": can.filter_q
            }[value.name]  # fmt: skip
            off = abs(value.entered - value.wanted)
            if entry.key == "high-pass":
                assert value.entered >= min(least, value.wanted) - 1e-6
                if value.entered - value.wanted > half_step(dial, value.wanted) + 1e-6:
                    down = value.entered * 2 ** (-1 / dial.step)
                    assert down < least  # the nearest one would have been too low
                continue
            assert off <= max(half_step(dial, value.wanted), half_step(dial, value.entered)) + 1e-6
            if dial.step is not None:
                assert np.isfinite(value.entered)
    polarity = next(e for e in sheet_of(described).outputs[0].entries if e.key == "polarity")
    assert (polarity.values[0].words == "inverted") == part.inverted
    assert lines[0].limiter_rms_dbu is not None and math.isfinite(lines[0].limiter_rms_dbu)


def test_the_lowest_of_two_lines_on_one_output() -> None:
    """The second amplifier has 6 dB more gain: its threshold lies 6 dB lower and is the one."""
    both = boxes_on_one_line(2)
    left, right = (
        drive_line("Left"),
        drive_line("Right", (link("Top 2"),), amplifier_place="Rack 2 A"),
    )
    described = dataclasses.replace(
        both,
        processors=(UNIT,),
        drive_lines=(left, right),
        amplifier_places=(
            AmplifierPlace("Rack 1 A", "Rack 1", "Amp", gain_db=26.0),
            AmplifierPlace("Rack 2 A", "Rack 2", "Amp", gain_db=32.0),
        ),
    )
    one, other = (line.limiter_rms_dbu for line in check_lines(described))
    assert one == pytest.approx(other + 6)
    entry = sheet_of(described).outputs[0].entries[-1]
    assert entry.values[0].entered == pytest.approx(other)
    assert "The lowest of Left and Right." in entry.note


def test_a_limiter_of_a_line_that_lacks_something() -> None:
    described = system(
        processors=(UNIT,), amplifiers=(amplifier(gain_db=UNKNOWN),), outputs=(output(),)
    )
    entry = sheet_of(described).outputs[0].entries[-1]
    assert (entry.key, entry.values) == ("limiter", ())
    assert "The limiter of Left is unknown" in entry.note
    assert fit_of(described).state == "cannot check"
