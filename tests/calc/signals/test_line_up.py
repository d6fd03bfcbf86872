"""The steps of bringing a system to life: quiet first, one output at a time."""

from calc.check import check
from tests.calc.builders import output, system
from tests.calc.signals.two_way import passes, two_way


def test_faders_first_amplifiers_last_then_output_by_output() -> None:
    steps = check(two_way(boxes=2)).line_up
    keys = [step.key for step in steps]
    assert keys[:2] == ["faders", "enter"]
    assert len(set(keys)) == len(keys)
    amplifier = next(s for s in steps if "Amplifier Rack 1 A" in s.does)
    processor = next(s for s in steps if "Processor FOH" in s.does)
    assert keys.index(processor.key) < keys.index(amplifier.key) < keys.index("levels")
    assert keys.index("levels") < keys.index("FOH, output 1") < keys.index("FOH, output 2")
    assert keys[-2:] == ["together", "off"]


def test_what_is_heard_and_where() -> None:
    low, high = (s for s in check(two_way(boxes=2)).line_up if s.key.startswith("FOH"))
    assert low.expect == "Top 1 and Top 2 sound, from about 80 Hz to 1 kHz, nothing else."
    assert high.expect.startswith("Top 1 and Top 2 sound, from about 1 kHz to 16 kHz")
    assert "polarity tester" in low.does


def test_cautions_where_ears_and_drivers_can_be_hurt() -> None:
    low, high = (s for s in check(two_way()).line_up if s.key.startswith("FOH"))
    for step in (low, high):
        assert "Nobody stands near" in step.caution and "Hearing protection" in step.caution
        assert "silence" in step.caution
    assert "open or wired wrong" in high.caution and "open" not in low.caution


def test_an_inversion_on_purpose_is_said() -> None:
    one, other = passes()
    described = two_way((output(1, filters=(one,)), output(2, filters=(other,), inverted=True)))
    high = next(s for s in check(described).line_up if s.key == "FOH, output 2")
    assert "inverted on purpose" in high.does


def test_a_rig_without_lines_has_nothing_to_line_up() -> None:
    assert check(system(placements=(), drive_lines=())).line_up == ()
