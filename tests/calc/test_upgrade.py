"""Files of format 1 are read as today's, and what cannot be kept is told or said in the docs."""

import pytest

from calc.check import check
from calc.serialise import system_from_plain, to_plain
from calc.system import Dial
from tests.calc.builders import drive_line, link, output, placement, processor, system

TWO = {
    "placements": (placement(), placement("Top 2")),
    "drive_lines": (drive_line(), drive_line("Right", (link("Top 2"),), channel=2, output=2)),
}


def of_format_1(*of_lines, **changes):
    """A description as it was written then; for each line what it said about its output."""
    plain = to_plain(system(**(TWO | changes)))
    plain["format"] = 1
    for name in ("outputs", "spots", "measured", "alignments"):
        del plain[name]
    for line, said in zip(plain["drive_lines"], of_lines, strict=False):
        line.update(said)
    for sheet in plain["processors"]:
        del sheet["abilities"]
        sheet["limiter_step_db"] = {"value": 0.5, "basis": "data sheet"}
    return plain


def test_what_a_line_said_belongs_to_its_output() -> None:
    plain = of_format_1(
        {"processor_gain_db": -3.0, "delay_ms": 0.0, "inverted": False, "response": None},
        {"processor_gain_db": None, "delay_ms": 4.5, "inverted": True},
    )
    read = system_from_plain(plain)
    assert read.format == 2
    assert read.outputs == (
        output(1, -3.0, inputs=()),
        output(2, None, inputs=(), delay_ms=4.5, inverted=True),
    )
    assert read.processors[0].abilities.limiter_dbu == Dial(step=0.5)
    assert read.drive_lines == TWO["drive_lines"]
    assert check(read).lines[0].limiter_rms_dbu is not None
    assert system_from_plain(to_plain(read)) == read


def test_nothing_said_is_no_output() -> None:
    read = system_from_plain(of_format_1({"delay_ms": 0.0}, {}))
    assert read.outputs == ()
    assert read == system(**TWO, processors=(processor(step=0.5),))


def test_lines_on_one_output_that_differed() -> None:
    both = (drive_line(), drive_line("Right", (link("Top 2"),), channel=2))
    plain = of_format_1(
        {"processor_gain_db": -3.0, "delay_ms": 1.0},
        {"processor_gain_db": 2.0, "delay_ms": 9.0},
        drive_lines=both,
    )
    (found,) = system_from_plain(plain).outputs
    assert (found.gain_db, found.delay_ms) == (None, 1.0)


def test_a_line_without_an_output_loses_it() -> None:
    plain = of_format_1({"delay_ms": 3.0}, drive_lines=(drive_line(output=None),))
    assert system_from_plain(plain).outputs == ()


def test_a_curve_is_refused_with_its_place() -> None:
    plain = of_format_1({}, {"response": {"frequency_hz": [20, 200], "level_db": [0, 0]}})
    with pytest.raises(ValueError, match=r"drive_lines\[1\].response: a curve cannot be read"):
        system_from_plain(plain)


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        ({"drive_lines": 7}, "drive_lines: must be a list"),
        ({"drive_lines": [7]}, r"drive_lines\[0\]: must be an object"),
        ({"processors": {}}, "processors: must be a list"),
        ({"processors": [3]}, r"processors\[0\]: must be an object"),
    ],
)
def test_what_is_odd_is_told_by_the_reader(spoilt, words) -> None:
    with pytest.raises(ValueError, match=words):
        system_from_plain(of_format_1() | spoilt)


@pytest.mark.parametrize(
    ("field", "value"), [("delay_ms", "late"), ("inverted", 1), ("processor_gain_db", [])]
)
def test_odd_values_of_a_line_are_told_at_the_output(field, value) -> None:
    with pytest.raises(ValueError, match=r"outputs\[0\]\."):
        system_from_plain(of_format_1({field: value}))


def test_an_odd_step_is_told() -> None:
    plain = of_format_1()
    plain["processors"][0]["limiter_step_db"] = {"value": "small", "basis": "data sheet"}
    with pytest.raises(ValueError, match=r"limiter_dbu\.step: must be a number"):
        system_from_plain(plain)
    plain["processors"][0]["limiter_step_db"] = 0.5
    with pytest.raises(ValueError, match="unknown field 'limiter_step_db'"):
        system_from_plain(plain)
