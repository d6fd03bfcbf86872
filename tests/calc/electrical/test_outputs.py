"""Several lines on one processor output, and linked inputs."""

import dataclasses

import pytest

from calc.check import check
from calc.system import AmplifierPlace
from tests.calc.builders import (
    amplifier,
    drive_line,
    link,
    loudspeaker,
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


@pytest.mark.parametrize(
    ("watts", "state"), [(400, "holds"), (200, "tight"), (None, "cannot check")]
)
def test_the_lowest_threshold_of_an_output_counts(watts, state) -> None:
    """200 W instead of 400 W: 3 dB lower, 5.27 - 3.01 = 2.26 dBu (MATH)."""
    (shared,) = found(pair(second_watts=watts), "shared_output")
    assert shared.state == state and "Left and Right" in shared.sentence
    if watts == 200:
        assert shared.limit == pytest.approx(2.26, abs=0.005)
        assert shared.value == pytest.approx(5.27, abs=0.005)


def test_an_output_each_is_no_matter() -> None:
    assert found(pair(second_output=2), "shared_output") == []


@pytest.mark.parametrize(("output", "state"), [(1, "holds"), (2, "fails"), (None, "cannot check")])
def test_linked_inputs_carry_one_signal(output, state) -> None:
    (linked,) = found(pair(second_output=output, linked=True), "linked_inputs")
    assert linked.state == state
    assert found(pair(second_output=output), "linked_inputs") == []
