"""Whatever is described or missing: finite answers, the same each time, and nothing is made up."""

import dataclasses
import json

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.acoustics.gain_before_feedback.patterns import PRESSURE_SHARE
from calc.acoustics.seat import seat
from calc.check import check, validate
from calc.serialise import prediction_from_plain, to_plain
from calc.system import (
    AxisResponse,
    Filter,
    ListeningPlace,
    Room,
    RoomSurface,
    Show,
    StageMicrophone,
    Surroundings,
    SystemDescription,
)
from tests.calc.acoustics.directivity.shapes import balloon_of, slope
from tests.calc.builders import (
    amplifier,
    area,
    drive_line,
    link,
    loudspeaker,
    maybe,
    output,
    placement,
    processor,
    system,
    way,
)

BALLOON = balloon_of(slope())


def figures(low: float, high: float):
    return st.one_of(st.none(), st.floats(low, high)).map(maybe)


def octaves(low: float, high: float):
    part = st.one_of(st.none(), st.sampled_from([low, high]), st.floats(low, high))
    return st.lists(part, min_size=7, max_size=7).map(tuple)


rooms = st.builds(
    Room,
    figures(20, 1e5),
    st.lists(
        st.builds(RoomSurface, st.just("Wall"), figures(1, 5000), octaves(0, 1)), max_size=1
    ).map(tuple),
    st.just(()) | octaves(0.05, 20),
    st.just(()) | octaves(0, 110),
)
shows = st.builds(Show, figures(60, 130), figures(0.1, 12), figures(-60, 30), figures(40, 110))
shapes = st.sampled_from(
    [
        {},
        {"balloon": BALLOON},
        {"piston_diameter_m": maybe(0.4)},
        {"axis_response": AxisResponse((60.0, 5000.0), (90.0, 100.0))},
        {"coverage_h_deg": maybe(None)},
        {"low_hz": maybe(5.0), "high_hz": maybe(20.0)},
    ]
)
filters = st.sampled_from(
    [
        (),
        (Filter("high-pass", 90.0, "Bessel", 7), Filter("peak", 9000.0, gain_db=9.0, q=30.0)),
        (Filter("low-pass", 40.0, "Linkwitz-Riley", 8), Filter("notch", 1000.0, q=1.0)),
    ]
)


@st.composite
def rigs(draw: st.DrawFn) -> SystemDescription:
    """Two boxes of one kind on a line each, with anything around them."""
    boxes, lines, outputs = [], [], []
    for number in (1, 2):
        name = f"Top {number}"
        boxes.append(
            placement(
                name, x_m=draw(st.floats(-5, 5)), roll_deg=draw(st.floats(-180, 180)),
                tilt_deg=draw(st.floats(-90, 90)), group=draw(st.sampled_from(["", "pair"])),
            )
        )  # fmt: skip
        lines.append(drive_line(name, (link(name),), channel=number, output=number))
        outputs.append(
            output(
                number,
                draw(st.one_of(st.none(), st.floats(-40, 20))),
                delay_ms=draw(st.floats(0, 100)),
                inverted=draw(st.booleans()),
                filters=draw(filters),
            )
        )
    return system(
        loudspeakers=(loudspeaker(ways=(way(**draw(shapes)),)),),
        amplifiers=(amplifier(ratings={8: draw(st.one_of(st.none(), st.floats(1, 2000)))}),),
        placements=tuple(boxes),
        drive_lines=tuple(lines),
        processors=(processor(sampling_hz=draw(st.sampled_from([maybe(None), maybe(48e3)]))),),
        outputs=tuple(outputs)[draw(st.integers(0, 1)) :],
        areas=(
            area(corners=((-3.0, 3.0), (3.0, 3.0), (3.0, 8.0))),
            area("Stage", kind="stage", corners=((-3.0, -3.0), (3.0, -3.0), (3.0, -1.0))),
        )[: draw(st.integers(0, 2))],
        places=(ListeningPlace("Desk", 0.0, 9.0, 1.5, hours=draw(figures(0.1, 12))),),
        room=draw(st.none() | rooms),
        microphones=tuple(
            StageMicrophone(
                name,
                draw(st.sampled_from([0.0, 2.0])),
                draw(st.floats(-10, 20)),
                2.5,
                draw(st.floats(-360, 360)),
                draw(st.floats(-90, 90)),
                draw(st.sampled_from(sorted(PRESSURE_SHARE))),
                draw(figures(0.01, 20)),
                draw(st.booleans()),
                tuple(sorted(draw(st.sets(st.sampled_from([ln.name for ln in lines]))))),
                draw(st.none() | st.floats(0.05, 100)),
            )
            for name in ("A", "B")[: draw(st.integers(0, 2))]
        ),
        show=draw(st.none() | shows),
        surroundings=Surroundings(draw(st.floats(-20, 50)), draw(st.floats(0, 100))),
    )


@settings(max_examples=80, suppress_health_check=list(HealthCheck), deadline=None)
@given(rigs())
def test_answers_are_finite_and_the_same_each_time(described: SystemDescription) -> None:
    assert validate(described) == []
    prediction = check(described)
    text = json.dumps(to_plain(prediction), allow_nan=False)
    assert json.dumps(to_plain(check(described))) == text
    assert prediction_from_plain(json.loads(text)) == prediction
    json.dumps(dataclasses.asdict(seat(described, 0.0, 5.0, 1.5)), allow_nan=False)
    for found in prediction.findings:
        if found.check in ("coverage", "target"):
            assert found.value is not None or found.state == "cannot check"
    if prediction.room is not None:
        assert all(
            (time is None) == (basis == "")
            for time, basis in zip(
                prediction.room.decay_s, prediction.room.decay_basis, strict=True
            )
        )
    states = {f.subject: f.state for f in prediction.findings if f.check == "feedback"}
    for found in prediction.microphones:
        assert (found.left_db is None) == bool(found.unknown)
        assert found.left_db is not None or states[found.name] == "cannot check"
        gains = [change.gain_db for change in found.changes]
        assert gains == sorted(gains, reverse=True) and all(gain > 0 for gain in gains)
    for exposure in prediction.exposures:
        assert (exposure.lex_8h_dba is None) == (exposure.hours is None)
