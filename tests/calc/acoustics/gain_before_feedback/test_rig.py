"""Gain before feedback of a rig as it stands: against the textbook, and what follows from it."""

import dataclasses
import math

import pytest

from calc.acoustics.gain_before_feedback.textbook import needed_gain_db, potential_gain_db
from calc.check import check, validate
from calc.figure import UNKNOWN
from calc.prediction import Finding, MicrophoneResult
from calc.system import Choices, Room, StageMicrophone, SystemDescription
from tests.calc.builders import (
    area,
    drive_line,
    known,
    link,
    loudspeaker,
    maybe,
    output,
    placement,
    system,
    way,
)

ROUND = loudspeaker(ways=(way(coverage_h_deg=known(360), coverage_v_deg=known(360)),))
"""A box that plays all round."""

LONG = area(corners=((-0.5, 3.0), (0.5, 3.0), (0.5, 30.0), (-0.5, 30.0)))


def microphone(source: float | None = 0.5, **changes: object) -> StageMicrophone:
    """One 4 m behind the box, at ear height, its front towards the back of the stage."""
    plain = StageMicrophone("Voice", 0.0, -4.0, 1.6, 180.0, 0.0, "omnidirectional", maybe(source))
    return dataclasses.replace(plain, **changes)


def stage(*microphones: StageMicrophone, **changes: object) -> SystemDescription:
    """A box all round in front of a long audience."""
    return system(
        **(
            {
                "loudspeakers": (ROUND,),
                "areas": (LONG,),
                "microphones": microphones or (microphone(),),
            }
            | changes
        )
    )


def result_of(described: SystemDescription, name: str = "Voice") -> MicrophoneResult:
    return next(one for one in check(described).microphones if one.name == name)


def left_of(described: SystemDescription, name: str = "Voice") -> float:
    found = result_of(described, name).left_db
    assert found is not None
    return found


def finding_of(described: SystemDescription, name: str = "Voice") -> Finding:
    return next(f for f in check(described).findings if (f.check, f.subject) == ("feedback", name))


def test_one_box_all_round_outdoors_is_the_textbook() -> None:
    """With the handbook's formula (its figures stand in test_textbook); air loses under 0.5 dB."""
    found = result_of(stage(microphone(), microphone(name="Other")))
    far = (0.5, 30.0, 1.6)
    d0 = math.dist((0, -4, 1.6), far)
    expected = potential_gain_db(
        source_m=0.5,
        farthest_m=d0,
        box_to_microphone_m=math.dist((0, -4, 1.6), (0, 0, 2.5)),
        box_to_farthest_m=math.dist((0, 0, 2.5), far),
        open_microphones=2,
    )
    assert found.farthest_m == pytest.approx(d0)
    assert found.textbook_potential_db == pytest.approx(expected, abs=1e-6)
    assert found.needed_db == pytest.approx(needed_gain_db(d0, 1.2), abs=1e-6)
    assert found.potential_db == pytest.approx(expected, abs=1.0)
    assert found.octaves_left_db[0] == pytest.approx(expected - found.needed_db, abs=0.05)


def test_indoors_one_box_all_round_follows_the_textbook_too() -> None:
    """But for the talker's mouth, which feeds the room less than a source all round: under
    0.8 dB. Decay 1.5 s, 2000 m3: Dc 2.08 m (RUN, pyrato)."""
    room = Room(known(2000), decay_s=(1.5,) * 7)
    found = result_of(stage(room=room))
    assert found.critical_m == pytest.approx(2.0813, rel=0.01)
    assert found.left_db is not None and found.textbook_potential_db is not None
    textbook = found.textbook_potential_db - found.textbook_needed_db
    assert found.octaves_left_db[2] == pytest.approx(textbook, abs=0.8)
    assert found.late_share == pytest.approx(1 / (1 + (2.0813 / 4.1) ** 2), abs=0.03)


def test_half_the_source_distance_is_six_db_more() -> None:
    near, far = (left_of(stage(microphone(source))) for source in (0.25, 0.5))
    assert near - far == pytest.approx(6.0206, abs=1e-3)


def test_twice_as_many_open_microphones_are_three_db_less() -> None:
    one = left_of(stage())
    two = left_of(stage(microphone(), microphone(name="Second")))
    closed = left_of(stage(microphone(), microphone(name="Second", is_open=False)))
    assert one - two == pytest.approx(3.0103, abs=1e-3)
    assert closed == pytest.approx(one)


def test_a_closed_microphone_is_judged_as_opened_beside_the_others() -> None:
    described = stage(microphone(), microphone(name="Spare", is_open=False))
    assert result_of(described, "Spare").open_microphones == 2
    assert any(
        "not open with the others" in said for said in finding_of(described, "Spare").assumed
    )


def test_a_cardioid_with_its_back_to_the_box_gains_what_its_pattern_says() -> None:
    """MATH: on the level 180 degrees off, 20 dB and no more; 90 degrees off 6 dB."""
    level_box = (placement(z_m=1.6),)
    all_round, back, side = (
        left_of(stage(microphone(pattern=pattern, azimuth_deg=azimuth), placements=level_box))
        for pattern, azimuth in (("omnidirectional", 0), ("cardioid", 180), ("cardioid", 90))
    )
    assert back - all_round == pytest.approx(20, abs=0.01)
    assert side - all_round == pytest.approx(6.0206, abs=0.01)


def test_an_unknown_pattern_counts_as_all_round_and_is_told() -> None:
    unknown = stage(microphone(pattern="unknown"))
    assert left_of(unknown) == pytest.approx(left_of(stage()))
    assert any("Its pattern is unknown" in said for said in finding_of(unknown).assumed)


def test_as_near_as_it_shall_seem() -> None:
    """Twice as near is 6.02 dB more to ask for."""
    far, near = (
        left_of(stage(choices=Choices(equivalent_distance_m=metres))) for metres in (2.4, 1.2)
    )
    assert far - near == pytest.approx(6.0206, abs=1e-3)


def test_a_source_that_is_loud_by_itself_may_seem_farther_away() -> None:
    drums = stage(microphone(equivalent_m=12.0))
    assert left_of(drums) - left_of(stage()) == pytest.approx(20, abs=1e-3)
    assert any("chosen for it" in said for said in finding_of(drums).assumed)


def test_played_by_nothing() -> None:
    found = finding_of(stage(microphone(not_played_by=("Left",))))
    assert found.state == "cannot check" and "no box that plays it" in found.sentence


def test_lines_that_are_not_there() -> None:
    assert validate(stage(microphone(not_played_by=("Rear",)))) == [
        "Stage microphone 'Voice': there is no drive line 'Rear'."
    ]


def test_reverberation_spares_no_pattern_and_takes_what_distance_gives() -> None:
    """Far beyond the critical distance a cardioid's back gains its index, 4.771 dB (MATH)."""
    room = Room(known(500), decay_s=(3.0,) * 7)
    all_round, cardioid = (
        left_of(stage(microphone(pattern=pattern, y_m=-40.0), room=room))
        for pattern in ("omnidirectional", "cardioid")
    )
    assert cardioid - all_round == pytest.approx(4.771, abs=0.01)


def test_every_change_is_what_making_it_gives() -> None:
    """Each promised gain, against the same rig described anew with the change made."""
    described = stage(microphone(), microphone(name="Second", source_m=known(0.3)))
    before, changes = left_of(described), result_of(described).changes
    promised = {change.words: change.gain_db for change in changes}
    assert len(promised) == 5 and list(promised.values()) == sorted(promised.values(), reverse=True)
    second = microphone(name="Second", source_m=known(0.3))
    made = {
        "source at 0.25 m instead of 0.5 m": stage(microphone(0.25), second),
        "the boxes of Left 1 m further away from it": stage(
            microphone(), second, placements=(placement(y_m=1.0),)
        ),
        "the microphone and its source 1 m further away from Top 1": stage(
            microphone(y_m=-5.0), second
        ),
        "a cardioid in its place, aimed alike": stage(microphone(pattern="cardioid"), second),
        "one open microphone less": stage(microphone()),
    }
    for words, changed in made.items():
        assert promised[words] == pytest.approx(left_of(changed) - before, abs=1e-4), words


def test_turned_to_where_it_is_deaf() -> None:
    described = stage(microphone(pattern="hypercardioid", azimuth_deg=20.0))
    turned = next(c for c in result_of(described).changes if c.words.startswith("turned to"))
    azimuth, tilt = (float(turned.words.split()[n]) for n in (3, 6))
    aimed = microphone(pattern="hypercardioid", azimuth_deg=azimuth, tilt_deg=tilt)
    after = result_of(stage(aimed))
    assert after.boxes[0].off_front_deg == pytest.approx(109.47, abs=1.5)
    assert turned.gain_db == pytest.approx(after.left_db - left_of(described), abs=1e-4)
    assert turned.gain_db > 12


def test_a_microphone_that_looks_down_is_not_turned_away_from_its_source() -> None:
    found = result_of(stage(microphone(pattern="cardioid", tilt_deg=-90.0)))
    assert not any(change.words.startswith("turned") for change in found.changes)


def test_a_monitor_decides_and_keeping_it_out_helps() -> None:
    monitor = dataclasses.replace(ROUND, name="Monitor", role="monitor")
    described = stage(
        loudspeakers=(ROUND, monitor),
        placements=(placement(), placement("Wedge", "Monitor", y_m=-3.0, z_m=0.3)),
        drive_lines=(drive_line(), drive_line("Monitor", (link("Wedge"),), channel=2, output=2)),
        outputs=(output(1), output(2)),
    )
    found = result_of(described)
    assert found.box == "Wedge" and found.boxes[0].placement == "Wedge"
    kept_out = next(c for c in found.changes if c.words == "kept out of Monitor")
    assert kept_out.gain_db == pytest.approx(left_of(stage()) - left_of(described), abs=1e-3)
    out_of_it = dataclasses.replace(
        described, microphones=(microphone(not_played_by=("Monitor",)),)
    )
    assert left_of(out_of_it) == pytest.approx(left_of(stage()), abs=1e-3)
    assert any("but those of Monitor" in said for said in finding_of(out_of_it).assumed)
    quieter = dataclasses.replace(described, outputs=(output(1), output(2, -6.0)))
    assert 2 < left_of(quieter) - left_of(described) < 6


def test_where_the_source_just_holds() -> None:
    described = stage(microphone(2.0))
    holds = result_of(described).holds_at_m
    assert finding_of(described).state == "fails" and holds is not None
    assert left_of(stage(microphone(holds))) == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize(
    ("described", "missing"),
    [
        (stage(microphone(None)), "How far its source is"),
        (stage(areas=()), "No audience area"),
        (stage(areas=(area(kind="stage"),)), "No audience area"),
        (stage(drive_lines=()), "No box that is driven plays"),
        (
            stage(loudspeakers=(loudspeaker(ways=(way(coverage_h_deg=UNKNOWN),)),)),
            "radiates towards it is unknown",
        ),
        (stage(room=Room()), "reverberation is unknown"),
        (stage(room=Room(known(2000), decay_s=(1.0, 1.0, None, 1.0, 1.0, 1.0, 1.0))), "reverb"),
        (
            stage(
                placements=(placement(), placement("Top 2")),
                drive_lines=(drive_line(), drive_line("B", (link("Top 2"),), channel=2, output=2)),
                outputs=(output(1), output(2, None)),
            ),
            "against each other is unknown",
        ),
    ],
)
def test_unknown_never_passes(described: SystemDescription, missing: str) -> None:
    found, result = finding_of(described), result_of(described)
    assert found.state == "cannot check" and found.value is None
    assert missing[1:] in found.sentence and missing in result.unknown
    assert result.left_db is None and result.changes == ()


def test_a_box_at_arms_length_is_no_pass() -> None:
    near = stage(
        microphone(0.02, y_m=-0.3, z_m=2.5, pattern="cardioid"),
        areas=(area(corners=((-1.0, 1.0), (1.0, 1.0), (1.0, 2.0), (-1.0, 2.0))),),
    )
    assert left_of(near) > 0
    assert finding_of(near).state == "cannot check"
    assert "nearer than half a metre" in finding_of(near).sentence


@pytest.mark.parametrize(
    ("source", "state"), [(0.05, "holds"), (0.06, "tight"), (0.1, "fails"), (0.5, "fails")]
)
def test_states(source: float, state: str) -> None:
    found, left = finding_of(stage(microphone(source))), left_of(stage(microphone(source)))
    assert found.state == state
    assert found.value == pytest.approx(left + 6) and found.limit == 6
    if state == "fails":
        rings = left + 6 <= 0
        assert ("rings before it is loud enough" in found.sentence) == rings
        assert "Most helps" in found.sentence and found.remedy


def test_no_microphone_no_word() -> None:
    silent = check(system())
    assert silent.microphones == ()
    assert not [finding for finding in silent.findings if finding.check == "feedback"]
