"""Several lines on one processor output, and linked inputs."""

import dataclasses

import pytest

from calc.check import check
from calc.system import AmplifierPlace
from tests.calc.builders import (
    amplifier,
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


def pair(second_output: int | None = 1, second_watts: float | None = 400, linked: bool = False):
    """Two lines on the two channels of one amplifier, 400 W and another box."""
    return system(
        loudspeakers=(loudspeaker(), loudspeaker("Other", ways=(way(power=second_watts),))),
        placements=(placement("A"), placement("B", "Other")),
        processors=(processor(step=None),),
        amplifier_places=(AmplifierPlace("Rack 1 A", "Rack 1", "Amp", linked_inputs=linked),),
        amplifiers=(amplifier(),),
        drive_lines=(
            drive_line("Left", (link("A"),)),
            dataclasses.replace(drive_line("Right", (link("B"),), channel=2), output=second_output),
        ),
    )


def found(described, name: str):
    return [f for f in check(described).findings if f.check == name]


def test_the_lowest_threshold_of_an_output_counts() -> None:
    """200 W instead of 400 W: 3 dB lower, 5.27 - 3.01 = 2.26 dBu (MATH)."""
    (shared,) = found(pair(second_watts=200), "shared_output")
    assert shared.state == "tight" and "Left and Right" in shared.sentence
    assert shared.limit == pytest.approx(2.26, abs=0.005)
    assert shared.value == pytest.approx(5.27, abs=0.005)
    assert "that of Right: 2.25 dBu rms" in shared.sentence  # 2.2594 is never rounded up


def test_a_lines_own_limiter_tells_of_the_lower_one() -> None:
    """Nobody may set 5.26 dBu by one line's sheet where the other line bears 2.25."""
    left, right = check(pair(second_watts=200)).lines
    said = {line.name: f.sentence for line in (left, right) for f in line.findings
            if f.check == "limiter"}  # fmt: skip
    assert "there 2.25 dBu rms and 8.28 dBu peak is the most" in said["Left"]
    assert "is the most" not in said["Right"]
    apart = check(pair(second_watts=200, second_output=2)).lines[0]
    assert not any("is the most" in f.sentence for f in apart.findings if f.check == "limiter")


def test_an_unknown_limiter_on_an_output_is_no_pass() -> None:
    (shared,) = found(pair(second_watts=None), "shared_output")
    assert shared.state == "cannot check" and "limiter of Right" in shared.sentence


def test_equal_limiters_are_no_matter() -> None:
    assert found(pair(), "shared_output") == []


def test_a_lower_peak_rating_alone_counts_too() -> None:
    described = pair()
    frail = loudspeaker("Other", ways=(way(peak=800),))
    described = dataclasses.replace(described, loudspeakers=(loudspeaker(), frail))
    (shared,) = found(described, "shared_output")
    assert shared.state == "tight" and "Right (peak)" in shared.sentence


def bands(first: tuple[float, float], second: tuple[float | None, float | None]):
    """The same two lines with ways of other bands."""
    ways = [way(low_hz=maybe(low), high_hz=maybe(high)) for low, high in (first, second)]
    boxes = (loudspeaker("Box", ways=(ways[0],)), loudspeaker("Other", ways=(ways[1],)))
    return dataclasses.replace(pair(), loudspeakers=boxes)


@pytest.mark.parametrize(
    ("first", "second", "state"),
    [
        ((60, 1500), (1500, 18000), "fails"),  # low and high driver
        ((35, 100), (80, 16000), "fails"),  # sub and top
        ((60, 1500), (80, 16000), "fails"),  # low driver and full range
        ((80, 16000), (120, 18000), None),  # top and fill
        ((30, 100), (40, 120), None),  # two kinds of sub
        ((60, 1500), (None, 18000), "cannot check"),
    ],
)
def test_ways_of_different_bands_on_one_output(first, second, state) -> None:
    said = found(bands(first, second), "shared_output")
    assert [f.state for f in said] == ([] if state is None else [state])
    if state == "fails":
        assert "Left" in said[0].sentence and "Right" in said[0].sentence
        assert "an output of its own" in said[0].sentence


def test_low_and_high_way_on_one_line_are_told_too() -> None:
    """Both drivers of a box in parallel on one channel: the high one gets the bass."""
    ways = (way("low", low_hz=known(60), high_hz=known(1500)), way("high", low_hz=known(1500)))
    described = system(
        loudspeakers=(loudspeaker(ways=ways),),
        drive_lines=(
            drive_line(
                links=(link(way_name="low"), link(way_name="high", from_amplifier=False)),
                output=None,
            ),
        ),
    )
    (shared,) = found(described, "shared_output")
    assert shared.state == "fails" and shared.subject == "Line Left"


def test_an_output_each_is_no_matter() -> None:
    assert found(pair(second_output=2), "shared_output") == []


@pytest.mark.parametrize(("output", "state"), [(1, "holds"), (2, "fails"), (None, "cannot check")])
def test_linked_inputs_carry_one_signal(output, state) -> None:
    (linked,) = found(pair(second_output=output, linked=True), "linked_inputs")
    assert linked.state == state
    assert found(pair(second_output=output), "linked_inputs") == []
