"""What a finding says would change it does change it, when it is done."""

import dataclasses
import re

import pytest

from calc.check import check, check_lines
from calc.figure import UNKNOWN
from tests.calc.builders import (
    amplifier,
    boxes_on_one_line,
    cable,
    full_system,
    loudspeaker,
    system,
    way,
)


def finding(described, name: str):
    (line,) = check_lines(described)
    return next(f for f in line.findings if f.check == name)


def figures_in(text: str) -> list[float]:
    return [float(word) for word in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize(("length", "area"), [(60, 1.5), (30, 2.5), (100, 4.0)])
def test_the_cable_that_is_asked_for_is_enough(length: float, area: float) -> None:
    described = system(cables=(cable(length=length, area=area),))
    found = finding(described, "cable_loss")
    assert found.state in ("fails", "tight")
    _, shorter = figures_in(found.remedy)
    better = system(cables=(cable(length=length * shorter * 0.98, area=area),))
    assert finding(better, "cable_loss").state == "holds"


def test_the_length_that_would_still_hold() -> None:
    (factor,) = figures_in(finding(system(), "cable_loss").remedy)
    almost = system(cables=(cable(length=10 * factor * 0.98),))
    assert finding(almost, "cable_loss").state == "holds"
    beyond = system(cables=(cable(length=10 * factor * 1.05),))
    assert finding(beyond, "cable_loss").state == "tight"


def test_the_damping_that_is_asked_for_is_reached() -> None:
    described = system(cables=(cable(length=60),))
    found = finding(described, "damping")
    assert found.state == "tight"
    _, shorter = figures_in(found.remedy)
    better = system(cables=(cable(length=60 * shorter * 0.98),))
    assert finding(better, "damping").state == "holds"
    poor = system(
        amplifiers=(
            amplifier(damping_factor=dataclasses.replace(UNKNOWN, value=5.0, basis="measured")),
        )
    )
    assert "Not with any cable" in finding(poor, "damping").remedy


def test_the_amplifier_that_is_asked_for_holds() -> None:
    found = finding(system(), "power")
    least, most, load = figures_in(found.remedy)
    assert (least, most, load) == (600, 800, 8)
    for watts in (least, most):
        assert (
            finding(system(amplifiers=(amplifier(ratings={8: watts}),)), "power").state == "holds"
        )
    headroom = finding(system(), "headroom")
    watts = figures_in(headroom.remedy)[0]
    enough = system(amplifiers=(amplifier(ratings={8: watts * 1.01}),))
    assert finding(enough, "headroom").state == "holds"


def test_how_many_boxes_an_amplifier_bears() -> None:
    found = finding(boxes_on_one_line(3), "load")
    assert found.state == "fails" and "at most 2 of these boxes" in found.remedy
    assert finding(boxes_on_one_line(2), "load").state == "holds"


def test_every_finding_says_what_would_change_it() -> None:
    bare = loudspeaker(ways=(way(impedance=None, minimum=None, power=None, peak=None),))
    for described in (system(), boxes_on_one_line(4), full_system(), system(loudspeakers=(bare,))):
        prediction = check(described)
        for found in (
            *prediction.findings,
            *(f for line in prediction.lines for f in line.findings),
        ):
            assert found.remedy, found.check
            assert found.limit_source and found.title and found.unit
