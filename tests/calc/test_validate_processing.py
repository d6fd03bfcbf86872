"""What outputs, filters and abilities cannot be, in words."""

import dataclasses

import pytest

from calc.check import validate
from calc.differences import differences
from calc.system import Dial, Filter, ProcessorOutput, Slope
from tests.calc.builders import full_system, known, loudspeaker, output, processor, system, way

PEAK = Filter("peak", 1000.0, gain_db=3.0, q=2.0)


def with_filter(kind="peak", hz=1000.0, sampling=48_000.0, **changes):
    part = Filter(kind, hz, **changes)
    return system(
        processors=(processor(sampling_hz=known(sampling)),),
        outputs=(output(filters=(part,)),),
    )


def test_all_that_can_be_said_is_valid() -> None:
    assert validate(full_system()) == []
    can = processor(
        filters_per_output=8,
        kinds=("peak", "high-pass"),
        slopes=(Slope("Linkwitz-Riley", 4), Slope("Bessel", 3)),
        pass_hz=Dial(20, 20_000, 24, "steps per octave"),
        sampling_hz=known(96_000),
    )
    assert validate(system(processors=(can,), outputs=(output(filters=(PEAK,)),))) == []


@pytest.mark.parametrize(
    ("described", "words"),
    [
        (with_filter(hz=24_000.0, q=1.0), "half its sampling rate, 24000 Hz"),
        (with_filter(hz=0.5, q=1.0), "frequency_hz must lie between 1 and 100000"),
        (with_filter(q=None), "it needs a Q"),
        (with_filter("notch", q=None), "it needs a Q"),
        (with_filter(q=0.0), "q must lie between 0.05 and 200"),
        (with_filter(q=1.0, gain_db=90.0), "gain_db must lie between"),
        (with_filter("high-pass", family="Linkwitz-Riley", order=3), "has an even order, not 3"),
        (with_filter("high-pass", family="Butterworth", order=9), "an order of 1 to 8, not 9"),
        (with_filter("low-pass"), "needs its family"),
        (with_filter("all-pass", order=3), "an all-pass has order 1 or 2, not 3"),
        (
            system(outputs=(output(filters=(Filter("high-pass", 80.0, "Bessel"),) * 2),)),
            "two high-pass filters",
        ),
        (system(outputs=(output(7),)), "'FOH' has 6 outputs, not number 7."),
        (system(outputs=(output(0),)), "'FOH' has 6 outputs, not number 0."),
        (system(outputs=(output(), output())), "Output 1 of 'FOH' is described twice."),
        (system(outputs=(ProcessorOutput("Else", 1),)), "there is no processor place 'Else'"),
        (system(outputs=(output(inputs=(3,)),)), "'FOH' has 2 inputs"),
        (system(outputs=(output(inputs=(1, 1)),)), "plays one input twice"),
        (system(outputs=(output(delay_ms=-1.0),)), "delay_ms must lie between"),
        (system(outputs=(output(gain=99.0),)), "gain_db must lie between"),
        (system(processors=(processor(gain_db=Dial(5, -5)),)), "gain: its least lies above"),
        (system(processors=(processor(delay_ms=Dial(step=-1)),)), "delay: its step must"),
        (system(processors=(processor(filter_q=Dial(most=0)),)), "Q of the filters: its most must"),
        (
            system(processors=(processor(delay_ms=Dial(scale="steps per octave", step=3)),)),
            "only a frequency has steps per octave",
        ),
        (system(processors=(processor(slopes=(Slope("Linkwitz-Riley", 5),)),)), "even order"),
        (system(processors=(processor(sampling_hz=known(10)),)), "sampling_hz must lie"),
        (
            system(loudspeakers=(loudspeaker(ways=(way(least_high_pass_order=12),)),)),
            "least_high_pass_order must lie between 1 and 8",
        ),
    ],
)
def test_faults_are_told(described, words) -> None:
    assert any(words in fault for fault in validate(described)), validate(described)


def test_forty_outputs_on_a_unit_of_eight_are_one_sentence() -> None:
    eight = dataclasses.replace(processor(), outputs=8)
    described = system(processors=(eight,), outputs=tuple(output(n) for n in range(1, 41)))
    assert validate(described) == ["'FOH' has 8 outputs, not number 9 to 40."]


def test_changes_of_an_output_are_told_in_its_words() -> None:
    before = system(outputs=(output(filters=(PEAK,)),))
    high = Filter("high-pass", 98.4, "Linkwitz-Riley", 4)
    after = system(outputs=(output(gain=-2.0, delay_ms=3.25, inputs=(1, 2), filters=(high,)),))
    assert differences(before, after) == [
        "Output FOH, output 1: inputs 1 became 1 and 2.",
        "Output FOH, output 1: gain 0 dB became -2 dB.",
        "Output FOH, output 1: delay 0 ms became 3.25 ms.",
        "Output FOH, output 1: Peak, 1 kHz, +3.0 dB, Q 2 was taken out.",
        "Output FOH, output 1: High-pass, Linkwitz-Riley 24 dB/octave, 98.4 Hz was added.",
    ]
    turned = system(outputs=(output(filters=(high, PEAK)),))
    back = system(outputs=(output(filters=(PEAK, high)),))
    assert differences(turned, back) == [
        "Output FOH, output 1: its filters stand in another order."
    ]
    other = system(processors=(processor(filters_per_output=4),))
    assert differences(system(), other) == ["Processor sheet Proc: what it can be set to changed."]
