"""How the figures of a line stand in its sentences."""

import re

from calc.check import check_lines
from tests.calc.builders import loudspeaker, system, way


def finding(described, name: str):
    (line,) = check_lines(described)
    return next(f for f in line.findings if f.check == name)


def test_what_is_not_stated_is_said_plainly() -> None:
    steps = finding(system(loudspeakers=(loudspeaker(ways=(way(minimum=None),)),)), "load").working
    assert steps[0] == (
        "Top 1 (full): rated impedance 8 ohm (data sheet), minimum impedance not stated."
    )


def test_a_loss_is_rounded_alike_in_sentence_and_working() -> None:
    found = finding(system(), "cable_loss")
    (said,) = re.findall(r"([\d.]+) dB", found.sentence)
    assert said == "0.17"
    assert any(step.startswith(f"Top 1 (full): {said} dB = 20 lg") for step in found.working)


def test_squares_are_written_as_squares() -> None:
    assert any("P = V² / Z" in step for step in finding(system(), "power").working)
