"""Whatever is set on two outputs: finite answers, the same each time, and back from a file."""

import json

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.check import check, validate
from calc.serialise import prediction_from_plain, to_plain
from calc.system import AxisResponse, Dial, Filter, ListeningSpot, Slope
from tests.calc.builders import maybe, output, processor
from tests.calc.signals.two_way import two_way, ways

hz, gains, qs = st.floats(20, 20_000), st.floats(-60, 60), st.floats(0.05, 200)
slopes = st.one_of(
    st.tuples(st.sampled_from(["Butterworth", "Bessel"]), st.integers(1, 8)),
    st.tuples(st.just("Linkwitz-Riley"), st.sampled_from([2, 4, 6, 8])),
)
sections = st.one_of(
    st.builds(lambda f, g, q: Filter("peak", f, gain_db=g, q=q), hz, gains, qs),
    st.builds(lambda f, q: Filter("notch", f, q=q), hz, qs),
    st.builds(lambda f, n: Filter("all-pass", f, order=n), hz, st.sampled_from([1, 2])),
    st.builds(lambda f, g: Filter("low shelf", f, gain_db=g), hz, gains),
)  # fmt: skip
axes = st.sampled_from(
    [
        {},
        {"axis_response": AxisResponse((60.0, 900.0), (97.0, 103.0))},
        {"axis_response": AxisResponse((1200.0, 15_000.0), (97.0, 90.0), (10.0, -300.0))},
        {"sensitivity": None},
        {"impedance": None},
    ]
)


@st.composite
def part(draw, number):
    passes = [
        Filter(kind, draw(hz), *draw(slopes))
        for kind in ("high-pass", "low-pass")
        if draw(st.booleans())
    ]
    return output(
        number,
        draw(st.none() | st.floats(-100, 60)),
        delay_ms=draw(st.floats(0, 1000)),
        inverted=draw(st.booleans()),
        inputs=draw(st.sampled_from([(), (1,), (1, 2)])),
        filters=(*passes, *draw(st.lists(sections, max_size=4))),
    )


def dial():
    step = st.one_of(st.none(), st.floats(0.01, 3))
    return st.builds(Dial, st.sampled_from([None, -5.0]), st.sampled_from([None, 7.0]), step)


@st.composite
def rigs(draw):
    pitch = st.builds(
        Dial, st.none() | st.just(50.0), st.none() | st.just(9000.0),
        st.none() | st.sampled_from([3, 24]), st.just("steps per octave"),
    )  # fmt: skip
    unit = processor(
        filters_per_output=draw(st.none() | st.integers(0, 3)),
        kinds=draw(st.sampled_from([(), ("peak", "high-pass"), ("notch",)])),
        slopes=draw(st.sampled_from([(), (Slope("Butterworth", 3), Slope("Bessel", 8))])),
        bessel_corner=draw(st.sampled_from(["unknown", "phase", "-3 dB"])),
        mixes_inputs=draw(st.sampled_from([None, True, False])),
        sampling_hz=maybe(draw(st.sampled_from([None, 44_100, 96_000]))),
        pass_hz=draw(pitch),
        filter_hz=draw(pitch),
        **{name: draw(dial()) for name in ("gain_db", "delay_ms", "filter_gain_db", "filter_q")},
        **{name: draw(dial()) for name in ("limiter_dbu", "attack_ms", "release_ms")},
    )
    demand = {"least_high_pass_hz": maybe(draw(st.sampled_from([None, 0, 700])))}
    return two_way(
        tuple(draw(part(n)) for n in (1, 2))[draw(st.integers(0, 1)) :],
        of_ways=ways(draw(axes), draw(axes) | demand),
        boxes=draw(st.integers(1, 2)),
        processors=(unit,),
        spots=(ListeningSpot("Back", 1.0, 12.0, 1.7), ListeningSpot("In it", 0.0, 0.0, 2.5)),
        areas=(),
    )


@settings(max_examples=120, suppress_health_check=list(HealthCheck), deadline=None)
@given(rigs())
def test_answers_are_finite_and_come_back_from_a_file(described) -> None:
    assert validate(described) == []
    prediction = check(described)
    text = json.dumps(to_plain(prediction), allow_nan=False)
    assert prediction_from_plain(json.loads(text)) == prediction
    for sheet in prediction.sheets:
        for entry in (entry for one in sheet.outputs for entry in one.entries):
            assert entry.fits or entry.note
            assert all(value.words for value in entry.values)
    for found in prediction.findings:
        if found.check in ("protection", "fits_processor", "crossover_polarity"):
            assert found.sentence.endswith(".")
