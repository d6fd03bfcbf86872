"""What is said about alignments: the fault first, and unknown never passes."""

import dataclasses
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.check import check
from calc.figure import UNKNOWN
from calc.serialise import prediction_from_plain, to_plain
from calc.system import Alignment, ProcessorAbilities, ProcessorPlace, ProcessorSheet
from tests.calc.signals.rigs import aligned, found, outputs, placements, rig, tower_rig


def state(system, key: str = "alignment"):
    finding = found(system, key)
    return None if finding is None else finding.state


def test_phases_together_hold() -> None:
    finding = found(rig(), "alignment")
    assert finding is not None
    assert (finding.state, finding.limit, finding.unit) == ("holds", 60.0, "degrees")
    assert "common practice" in finding.limit_source


@pytest.mark.parametrize(
    ("delay_ms", "expected"), [(0.0, "holds"), (1.2, "holds"), (1.8, "tight"), (3.0, "fails")]
)
def test_sixty_and_ninety_degrees(delay_ms: float, expected: str) -> None:
    """At 120 Hz, the upper end of this overlap, 1 ms is 43 degrees."""
    assert state(rig(outputs=outputs(sub={"delay_ms": delay_ms}))) == expected


def test_a_fault_says_what_to_do_first() -> None:
    finding = found(rig(placements=placements(2.5)), "alignment")
    assert finding is not None and finding.state == "fails"
    assert "Sub line: set the delay to 7.28 ms in all." in finding.sentence
    assert finding.remedy == "Sub line: set the delay to 7.28 ms in all."


def test_inversion_in_place_of_delay_is_named() -> None:
    system = rig(placements=placements(2.5), outputs=outputs(sub={"inverted": True}))
    finding = found(system, "delay_as_inversion")
    assert finding is not None and finding.state == "fails"
    assert "needs 7.3 ms, not inversion" in finding.sentence
    assert finding.value == pytest.approx(7.28, abs=0.01)


def test_inversion_that_is_needed_holds_and_none_says_nothing() -> None:
    needed = rig(outputs=outputs(order=2, sub={"inverted": True}))
    assert state(needed, "delay_as_inversion") == "holds"
    assert state(rig(), "delay_as_inversion") is None


def test_an_inversion_whose_delay_is_wrong_is_not_called_needed() -> None:
    """Order 2 needs the inversion, but here the sub plays 3 ms late besides."""
    finding = found(
        rig(outputs=outputs(order=2, sub={"inverted": True, "delay_ms": 3.0})),
        "delay_as_inversion",
    )
    assert finding is not None and finding.state != "holds"
    assert "inverted" in finding.sentence


@pytest.mark.parametrize("side", ["sub", "top"])
def test_the_side_that_is_inverted_is_the_one_named(side: str) -> None:
    finding = found(
        rig(outputs=outputs(order=2, **{side: {"inverted": True}})), "delay_as_inversion"
    )
    assert finding is not None and f"{side.title()} line: inverted" in finding.sentence


@pytest.mark.parametrize(
    ("delay_ms", "expected"),
    [(184.9, "holds"), (187, "tight"), (181, "tight"), (192, "fails"), (174, "fails")],
)
def test_a_tower_s_time(delay_ms: float, expected: str) -> None:
    """184.83 ms were right (60 m at 20 degC and 10 ms after); 174 would come before the mains."""
    assert state(tower_rig(20, 20, outputs=outputs(tower={"delay_ms": delay_ms}))) == expected


@pytest.mark.parametrize(
    ("set_c", "show_c", "expected"),
    [(5, 35, "tight"), (20, 25, "holds"), (None, 20, "cannot check")],
)
def test_drift_warns_beyond_2_ms(set_c, show_c, expected: str) -> None:
    assert state(tower_rig(set_c, show_c), "delay_drift") == expected


def test_drift_tells_what_becomes_of_the_offset() -> None:
    finding = found(tower_rig(5, 35), "delay_drift")
    assert finding is not None
    assert "the 10 ms wished become 19 ms" in finding.sentence


def test_near_boxes_need_no_set_up_temperature() -> None:
    assert state(rig(), "delay_drift") == "holds"


def _without_gain():
    return rig(outputs=outputs(sub={"gain_db": None}))


def _without_phase():
    plain = rig()
    bare = dataclasses.replace(plain.loudspeakers[0].ways[0], axis_response=None)
    return dataclasses.replace(
        plain,
        loudspeakers=(
            dataclasses.replace(plain.loudspeakers[0], ways=(bare,)),
            plain.loudspeakers[1],
        ),
    )


def _with_another_unstated_processor():
    plain = rig()
    other = ProcessorSheet("Other", 2, 6, abilities=ProcessorAbilities())
    return dataclasses.replace(
        plain,
        processors=(*plain.processors, other),
        processor_places=(*plain.processor_places, ProcessorPlace("Side", "Other")),
        drive_lines=(
            plain.drive_lines[0],
            dataclasses.replace(plain.drive_lines[1], processor="Side"),
            plain.drive_lines[2],
        ),
        outputs=(plain.outputs[0], dataclasses.replace(plain.outputs[1], processor="Side")),
    )


def _without_amplifier_gain():
    plain = rig()
    return dataclasses.replace(
        plain, amplifiers=(dataclasses.replace(plain.amplifiers[0], gain_db=UNKNOWN),)
    )


@pytest.mark.parametrize(
    ("system", "said"),
    [
        (rig(outputs=()), "what the processor is set to"),
        (_without_gain(), "how loud"),
        (_without_phase(), "phase of sub"),
        (_with_another_unstated_processor(), "latency of other"),
        (_without_amplifier_gain(), "how loud"),
    ],
)
def test_what_is_unknown_never_passes(system, said: str) -> None:
    finding = found(system, "alignment")
    assert finding is not None
    assert finding.state == "cannot check" and finding.value is None
    assert said in finding.sentence.lower()


def test_one_processor_s_unknown_latency_is_the_same_on_both_sides() -> None:
    plain = rig()
    unstated = dataclasses.replace(plain.processors[0], abilities=ProcessorAbilities())
    assert state(dataclasses.replace(plain, processors=(unstated,))) == "holds"


def test_a_tower_needs_its_delay_only() -> None:
    """No gain, no phase: the arrival can be said all the same; without an output it cannot."""
    unsaid = outputs(tower={"delay_ms": 184.9, "gain_db": None})
    assert state(tower_rig(20, 20, outputs=unsaid)) == "holds"
    assert state(tower_rig(20, 20, outputs=unsaid[:2])) == "cannot check"


def test_they_are_part_of_the_whole_answer() -> None:
    both = (*rig().alignments, *tower_rig(5, 35).alignments)
    whole = check(rig(alignments=both))
    assert [part.name for part in whole.alignments] == ["Sub to top", "Tower"]
    keys = [(f.subject, f.check) for f in whole.findings if f.check in ("alignment", "delay_drift")]
    assert keys == [
        ("Sub to top", "alignment"), ("Sub to top", "delay_drift"),
        ("Tower", "alignment"), ("Tower", "delay_drift"),
    ]  # fmt: skip
    assert prediction_from_plain(json.loads(json.dumps(to_plain(whole)))) == whole


anything = st.fixed_dictionaries(
    {},
    optional={
        "sub": st.fixed_dictionaries(
            {},
            optional={
                "delay_ms": st.floats(0, 500),
                "gain_db": st.none() | st.floats(-80, 40),
                "inverted": st.booleans(),
                "filters": st.just(()),
            },
        ),
        "top": st.fixed_dictionaries({}, optional={"gain_db": st.none() | st.floats(-80, 40)}),
    },
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    anything,
    st.floats(-100, 100),
    st.sampled_from(["sub to top", "fill or tower"]),
    st.none() | st.floats(-30, 50),
    st.lists(st.sampled_from([0, 1, 2]), max_size=3).map(tuple),
)
def test_whatever_is_described_the_answer_is_finite(set_to, y, kind, set_c, left_out) -> None:
    """Also a spot inside of a box, no outputs, no levels: numbers or None, never NaN."""
    part = Alignment("It", kind, ("Sub line", "Tower line"), ("Top line",), "Middle", 3.0, set_c)
    kept = tuple(o for i, o in enumerate(outputs(**set_to)) if i not in left_out)
    system = rig(placements=placements(y), outputs=kept, alignments=(part,))
    result = aligned(system)
    json.dumps(to_plain(result), allow_nan=False)
    if result.worst_phase_deg is not None:
        assert 0 <= result.worst_phase_deg <= 180
        assert result.best_sum_db is not None and result.best_sum_db <= 6.03
    assert state(system) in ("holds", "tight", "fails", "cannot check")
