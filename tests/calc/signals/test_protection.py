"""High passes that protect: missing, too low, too shallow, unknown."""

import pytest

from calc.check import check
from calc.lookup import Lookup
from calc.signals.protection import protection_findings
from calc.system import Filter
from tests.calc.builders import drive_line, known, loudspeaker, output, system, way
from tests.calc.signals.two_way import passes, two_way, ways

NEEDS = {"least_high_pass_hz": known(900), "least_high_pass_order": 4}
NONE = {"least_high_pass_hz": known(0)}


def of_high(*filters: Filter, **demand):
    """What is said of the upper way's output."""
    described = two_way(
        (output(1, filters=passes()[:1]), output(2, filters=filters)),
        of_ways=ways(NONE, NEEDS | demand),
    )
    (found,) = protection_findings(described, Lookup.of(described))
    assert found.subject == "FOH, output 2"
    return found


@pytest.mark.parametrize(
    ("filters", "state", "words"),
    [
        ((Filter("high-pass", 1000.0, "Linkwitz-Riley", 4),), "holds", "24 dB/octave, 1 kHz"),
        ((Filter("high-pass", 900.0, "Butterworth", 4),), "holds", "900 Hz"),
        ((), "fails", "no high pass protects it. Set a high pass at 900 Hz or above"),
        ((Filter("low-pass", 1000.0, "Butterworth", 4),), "fails", "no high pass"),
        ((Filter("high-pass", 899.0, "Butterworth", 4),), "fails", "at 899 Hz is too low"),
        ((Filter("high-pass", 1000.0, "Butterworth", 3),), "fails", "18 dB/octave is too shallow"),
    ],
)
def test_states(filters, state, words) -> None:
    found = of_high(*filters)
    assert found.state == state and words in found.sentence


def test_unknown_demands_are_never_a_pass() -> None:
    high = Filter("high-pass", 1000.0, "Linkwitz-Riley", 4)
    plain = two_way(
        (output(1, filters=passes()[:1]), output(2, filters=(high,))), of_ways=ways(NONE)
    )
    (found,) = protection_findings(plain, Lookup.of(plain))
    assert found.state == "cannot check" and "lowest allowed crossover is unknown" in found.sentence
    assert of_high(high, least_high_pass_order=None).state == "tight"


def test_who_needs_none_is_not_told() -> None:
    """A full-range box with one input, and a way that its sheet says needs none."""
    assert not list(protection_findings(system(), Lookup.of(system())))
    sub = system(loudspeakers=(loudspeaker(role="sub", ways=(way(),)),))
    (found,) = protection_findings(sub, Lookup.of(sub))
    assert found.state == "cannot check" and found.subject == "FOH, output 1"


def test_an_output_that_nobody_described() -> None:
    box = loudspeaker(ways=(way(**NEEDS),))
    for line, subject in ((drive_line(), "FOH, output 1"), (drive_line(output=None), "Left")):
        found = [
            f
            for f in check(system(loudspeakers=(box,), drive_lines=(line,))).findings
            if f.check == "protection"
        ]
        assert [(f.subject, f.state) for f in found] == [(subject, "cannot check")]
