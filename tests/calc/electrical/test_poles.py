"""Pole pairs: the cable that does not carry the way, and outputs that would be joined."""

import dataclasses

import pytest

from calc.check import check, check_lines, validate
from tests.calc.builders import cable, drive_line, link, loudspeaker, placement, system, way

TWO_WAYS = loudspeaker(
    "Biamped", ways=(way("low", pole_pair=1), way("high", pole_pair=2)),
)  # fmt: skip


def two_ways(cable_name: str = "Flex 2.5 10 m", cables=None, sheet=TWO_WAYS):
    """Low on channel 1, high on channel 2 by a cable of choice."""
    return system(
        loudspeakers=(sheet,),
        placements=(placement("Top 1", "Biamped"),),
        cables=tuple(cables or (cable(),)),
        drive_lines=(
            drive_line("Low", (link(way_name="low"),)),
            drive_line(
                "High", (link(way_name="high", cable_name=cable_name),), channel=2, output=2
            ),
        ),
    )


def of_line(described, row: int = 1):
    return next(f for f in check_lines(described)[row].findings if f.check == "pole_pair")


def test_the_second_pair_does_not_fit_a_cable_of_one() -> None:
    found = of_line(two_ways())
    assert found.state == "fails" and (found.value, found.limit) == (1, 2)
    assert "has only 1 pole pair" in found.sentence
    assert "at least 2 pole pairs (4 poles)" in found.sentence
    assert of_line(two_ways(), 0).state == "holds"


def test_the_shortest_cable_that_fits_is_named() -> None:
    fitting = [
        cable("Four 5 m", length=5, pole_pairs=2),
        cable("Four 20 m", length=20, pole_pairs=2),
        cable("Eight 15 m", length=15, pole_pairs=4),
    ]
    found = of_line(two_ways(cables=(cable(), *fitting)))
    assert "Take 'Eight 15 m', which has 4 pole pairs" in found.sentence
    assert of_line(two_ways("Eight 15 m", (cable(), *fitting))).state == "holds"


@pytest.mark.parametrize(("row", "state"), [(0, "holds"), (1, "cannot check")])
def test_no_cable_named(row: int, state: str) -> None:
    """Every cable has a first pair; whether it has a second one nobody knows."""
    described = two_ways("", (cable(),))
    assert of_line(described, row).state == state


def test_a_cable_from_box_to_box_needs_the_pair_too() -> None:
    described = two_ways("Four", (cable(), cable("Four", pole_pairs=2)))
    lines = described.drive_lines
    chained = dataclasses.replace(
        lines[1], links=(*lines[1].links, link("Top 2", way_name="high", from_amplifier=False))
    )
    described = dataclasses.replace(
        described,
        drive_lines=(lines[0], chained),
        placements=(placement("Top 1", "Biamped"), placement("Top 2", "Biamped")),
    )
    found = of_line(described)
    assert found.state == "fails" and "Top 2" in found.sentence


def test_two_lines_on_one_pair_of_a_box_are_refused() -> None:
    both = loudspeaker("Biamped", ways=(way("low"), way("high")))
    prediction = check(two_ways(sheet=both))
    (found,) = (f for f in prediction.findings if f.check == "shared_pole_pair")
    assert found.state == "fails" and found.subject == "Top 1"
    assert "low and high" in found.sentence and "Low and High" in found.sentence
    assert not [f for f in check(two_ways()).findings if f.check == "shared_pole_pair"]


def test_pairs_that_cannot_be() -> None:
    none = loudspeaker("Biamped", ways=(way("low", pole_pair=0), way("high", pole_pair=2)))
    assert any("pole pair must lie" in fault for fault in validate(two_ways(sheet=none)))
    assert any("pole pairs" in fault for fault in validate(two_ways(cables=(cable(pole_pairs=0),))))
